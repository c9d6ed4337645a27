package port_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"
	"time"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"

	"springline/device/port"
	"springline/device/simgauge"
)

// TestMain lets the test binary be started again as another user (see asNobody).
func TestMain(m *testing.M) {
	if name := os.Getenv("SPRINGLINE_TEST_OPEN"); name != "" {
		openInChild(name)
		return
	}
	os.Exit(m.Run())
}

// childError is what the child process says about its opening.
type childError struct{ Code, Text string }

func openInChild(name string) {
	p, err := port.Open(context.Background(), port.Address{Kind: port.TTY, Path: name},
		port.Options{Now: time.Now, LockDir: os.Getenv("SPRINGLINE_TEST_LOCKS")})
	var out childError
	if err == nil {
		_ = p.Close()
	} else {
		out = childError{string(port.CodeOf(err)), err.Error()}
	}
	_ = json.NewEncoder(os.Stdout).Encode(out)
}

// asNobody opens name in another process, without privileges if this one has them.
func asNobody(t *testing.T, name, locks string) *port.Error {
	t.Helper()
	c := exec.Command("/proc/self/exe")
	c.Env = append(os.Environ(), "SPRINGLINE_TEST_OPEN="+name, "SPRINGLINE_TEST_LOCKS="+locks)
	c.Dir = "/"
	c.Stderr = os.Stderr
	if os.Geteuid() == 0 {
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	b, err := c.Output()
	if err != nil {
		t.Fatalf("second process: %v", err)
	}
	var got childError
	if err := json.Unmarshal(bytes.TrimSpace(b), &got); err != nil {
		t.Fatalf("second process said %q: %v", b, err)
	}
	return &port.Error{Code: port.Code(got.Code), Cause: got.Text}
}

func TestMissingPort(t *testing.T) {
	name := filepath.Join(t.TempDir(), "ttyUSB0")
	_, err := tryOpen(t, name, port.Options{})
	want(t, err, port.Missing, name, "no such port", "plug the gauge in")
	if err := os.Symlink("/dev/pts/no", name); err != nil {
		t.Fatal(err)
	}
	_, err = tryOpen(t, name, port.Options{})
	want(t, err, port.Missing, name)
}

func TestWhatIsNoSerialPortIsNotTouched(t *testing.T) {
	dir := t.TempDir()
	file, pipe := filepath.Join(dir, "file"), filepath.Join(dir, "pipe")
	if err := os.WriteFile(file, []byte("keep"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := unix.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, words string }{
		{file, "file"}, {dir, "folder"}, {pipe, "pipe"}, {"/dev/null", "not a serial port"}, {"/dev/zero", "not a serial port"},
		{"/dev/tty", "of this computer"}, {"/dev/ptmx", "of this computer"}, {"/dev/console", "of this computer"},
	} {
		if _, err := os.Stat(c.name); err != nil {
			t.Logf("%s is not on this machine", c.name)
			continue
		}
		_, err := tryOpen(t, c.name, port.Options{})
		if c.name == "/dev/ptmx" && port.CodeOf(err) == port.Missing {
			continue
		}
		want(t, err, port.NotATTY, c.words, "list the ports")
	}
	if b, err := os.ReadFile(file); err != nil || string(b) != "keep" {
		t.Fatalf("the file now holds %q, %v", b, err)
	}
}

func TestBusyByLockFileNamesTheHolder(t *testing.T) {
	g := sim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "by-id")})
	locks := t.TempDir()
	p := open(t, g.Address(), port.Options{LockDir: locks})
	// The same port by its other name.
	_, err := tryOpen(t, g.Device(), port.Options{LockDir: locks})
	want(t, err, port.Busy, g.Device(), fmt.Sprintf("process %d", os.Getpid()), "stop it")
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	open(t, g.Device(), port.Options{LockDir: locks})
	other := sim(t, simgauge.Options{})
	open(t, other.Address(), port.Options{LockDir: locks})
}

// The kernel's exclusive mode lets the administrator in; we look for it ourselves.
func TestBusyByAnotherProgram(t *testing.T) {
	g := sim(t, simgauge.Options{})
	raw, err := serial.Open(g.Address(), &serial.Mode{})
	if err != nil {
		t.Fatal(err)
	}
	defer raw.Close()
	_, err = tryOpen(t, g.Address(), port.Options{LockDir: t.TempDir()})
	want(t, err, port.Busy, "another program", g.Address())
	if os.Geteuid() == 0 {
		if err := os.Chmod(g.Address(), 0o606); err != nil { // so that only the exclusive mode can refuse
			t.Fatal(err)
		}
	}
	want(t, asNobody(t, g.Address(), ""), port.Busy, "another program")
	_ = raw.Close()
	if e := asNobody(t, g.Address(), ""); e.Code != "" {
		t.Fatalf("the control does not open either: %v", e.Cause)
	}
}

func TestBusyNamesTheOtherProgramsNumber(t *testing.T) {
	g := sim(t, simgauge.Options{})
	c := exec.Command("/bin/sh", "-c", "exec 3<>"+g.Address()+"; echo ready; read end")
	hold, err := c.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer hold.Close()
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = c.Process.Kill(); _ = c.Wait() }()
	if _, err := out.Read(make([]byte, 8)); err != nil {
		t.Fatal(err)
	}
	raw, err := serial.Open(g.Address(), &serial.Mode{}) // sets the exclusive mode
	if err != nil {
		t.Fatal(err)
	}
	defer raw.Close()
	_, err = tryOpen(t, g.Address(), port.Options{})
	want(t, err, port.Busy, strconv.Itoa(c.Process.Pid))
}

func TestNoPermissionNamesGroupAndUser(t *testing.T) {
	g := sim(t, simgauge.Options{})
	if os.Geteuid() != 0 { // an ordinary user can only shut itself out
		if err := os.Chmod(g.Address(), 0); err != nil {
			t.Fatal(err)
		}
		want(t, asNobody(t, g.Address(), ""), port.NoPermission, g.Address(), "mode 0000", "0660")
		return
	}
	tty, err := user.LookupGroup("tty")
	if err != nil {
		t.Fatal(err)
	}
	gid, err := strconv.Atoi(tty.Gid)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		gid   int
		mode  os.FileMode
		words []string
	}{
		{gid, 0o660, []string{`group "tty"`, "usermod -aG tty nobody", "log in again"}},
		{gid, 0o600, []string{`group "tty"`, "mode 0600", "device rule", "0660"}},
		{0, 0o660, []string{"device rule", "dialout", "log in again"}},
	} {
		if err := os.Chown(g.Address(), 0, c.gid); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(g.Address(), c.mode); err != nil {
			t.Fatal(err)
		}
		want(t, asNobody(t, g.Address(), ""), port.NoPermission, append(c.words, g.Address(), `user "nobody"`)...)
	}
}

func TestImpossibleSettingsAndForeignKinds(t *testing.T) {
	g := sim(t, simgauge.Options{})
	_, err := tryOpen(t, g.Address(), port.Options{Mode: port.Mode{Baud: 7}})
	want(t, err, port.BadMode, "baud 7")
	_, err = tryOpen(t, "replay:x", port.Options{})
	want(t, err, port.BadAddress)
	_, err = port.Open(t.Context(), address(t, g.Address()), port.Options{})
	want(t, err, port.BadMode, "clock")
}

func TestLockFolderThatIsNotThere(t *testing.T) {
	g := sim(t, simgauge.Options{})
	_, err := tryOpen(t, g.Address(), port.Options{LockDir: filepath.Join(t.TempDir(), "no")})
	want(t, err, port.Missing, "lock file", "make the folder")
}
