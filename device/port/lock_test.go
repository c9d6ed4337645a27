package port_test

import (
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"springline/device/port"
	"springline/device/simgauge"
)

// locked opens a simulated gauge once and gives the lock file that this left.
func locked(t *testing.T) (g *simgauge.Gauge, dir, file string) {
	t.Helper()
	g, dir = sim(t, simgauge.Options{}), t.TempDir()
	if err := open(t, g.Address(), port.Options{LockDir: dir}).Close(); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.lock"))
	if err != nil || len(files) != 1 {
		t.Fatalf("lock files %q, %v", files, err)
	}
	return g, dir, files[0]
}

// Whoever may write into the temporary folder could otherwise have a file of ours emptied.
func TestLinkInThePlaceOfALockIsNotFollowed(t *testing.T) {
	g, dir, file := locked(t)
	precious := filepath.Join(t.TempDir(), "precious")
	if err := os.WriteFile(precious, []byte("keep"), 0o600); err != nil {
		t.Fatal(err)
	}
	plant := func(how string, f func() error) {
		t.Helper()
		if err := os.Remove(file); err != nil {
			t.Fatal(err)
		}
		if err := f(); err != nil {
			t.Fatal(err)
		}
		_, err := tryOpen(t, g.Address(), port.Options{LockDir: dir})
		if port.CodeOf(err) != port.Missing {
			t.Errorf("a %s in the place of the lock file: %v", how, err)
		}
	}
	plant("link", func() error { return os.Symlink(precious, file) })
	plant("link to nothing", func() error { return os.Symlink(precious+"-new", file) })
	plant("pipe", func() error { return unix.Mkfifo(file, 0o600) })
	if b, err := os.ReadFile(precious); err != nil || string(b) != "keep" {
		t.Errorf("the file now holds %q, %v", b, err)
	}
	if _, err := os.Lstat(precious + "-new"); err == nil {
		t.Error("a file was made at the far end of a link")
	}
}

func TestLockFolderOfOthersIsRefused(t *testing.T) {
	g, dir, _ := locked(t)
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Fatal(err)
	}
	foreign := "/" // for an ordinary user
	if os.Geteuid() == 0 {
		foreign = t.TempDir()
		if err := os.Chown(foreign, 65534, 65534); err != nil {
			t.Fatal(err)
		}
	}
	shared := t.TempDir()
	if err := os.Chmod(shared, 0o777); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ dir, says string }{{link, "directory"}, {foreign, "belongs to user"}, {shared, "mode 0777"}} {
		_, err := tryOpen(t, g.Address(), port.Options{LockDir: c.dir})
		want(t, err, port.Missing, c.says)
	}
}

func TestLockFolderIsTheUsersOwn(t *testing.T) {
	mine := func() string {
		d := t.TempDir()
		if err := os.Chmod(d, 0o700); err != nil {
			t.Fatal(err)
		}
		return d
	}
	shared, run, temp := mine(), mine(), mine()
	if err := os.Chmod(shared, 0o777); err != nil {
		t.Fatal(err)
	}
	fallback := filepath.Join(temp, "springline-ports-"+strconv.Itoa(os.Geteuid()))
	for _, c := range []struct {
		runtime []string
		want    string
	}{
		{[]string{run, mine()}, filepath.Join(run, "springline-ports")},
		{[]string{"", filepath.Join(run, "no"), shared, run}, filepath.Join(run, "springline-ports")},
		{[]string{"", shared}, fallback},
		{[]string{"", shared}, fallback}, // it is there already
	} {
		got, err := port.LockFolder(temp, c.runtime...)
		if err != nil || got != c.want {
			t.Errorf("of %q the folder is %q, %v; want %q", c.runtime, got, err, c.want)
			continue
		}
		if info, err := os.Lstat(got); err != nil || info.Mode() != os.ModeDir|0o700 {
			t.Errorf("%q is made as %v, %v", got, info.Mode(), err)
		}
	}
	if err := os.Remove(fallback); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(run, fallback); err != nil {
		t.Fatal(err)
	}
	if got, err := port.LockFolder(temp); err == nil {
		t.Errorf("a link planted in the temporary folder is taken: %q", got)
	}
}

// A device name can be given to another device while its lock is just being let go of.
func TestLockThatIsBeingLetGoOfIsWaitedFor(t *testing.T) {
	g, dir, file := locked(t)
	f, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := unix.Flock(int(f.Fd()), unix.LOCK_EX); err != nil {
		t.Fatal(err)
	}
	_, err = tryOpen(t, g.Address(), port.Options{LockDir: dir})
	want(t, err, port.Busy, "another bench")
	time.AfterFunc(10*time.Millisecond, func() { _ = f.Close() })
	open(t, g.Address(), port.Options{LockDir: dir})
}
