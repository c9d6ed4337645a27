package port

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"golang.org/x/sys/unix"
)

// lockFile keeps a second bench off a port. The kernel's exclusive mode does not hold for the
// administrator, so it is not enough by itself.
type lockFile struct{ f *os.File }

// lockPatience is how long a lock that another holds is waited for: whoever closes a port lets go of the device
// first and of the lock a moment later, and the device may have been taken by then.
const (
	lockPatience = 250 * time.Millisecond
	lockLook     = 5 * time.Millisecond
)

// takeLock locks the file that stands for the physical port. The file stays when the lock is released:
// removing it would let two holders each lock their own file of the same name.
func takeLock(dir, physical string) (*lockFile, error) {
	if dir == "" {
		return nil, nil
	}
	name := filepath.Join(dir, lockName(physical))
	f, err := openLock(dir, filepath.Base(name))
	if err != nil {
		return nil, &Error{Code: Missing, Addr: physical, Cause: fmt.Sprintf("lock file %q cannot be used: %v", name, err),
			Do: "make the folder, or remove what stands in its place", Err: err}
	}
	for left := lockPatience / lockLook; ; left-- {
		switch err = unix.Flock(int(f.Fd()), unix.LOCK_EX|unix.LOCK_NB); {
		case err == nil:
			tellHolder(f)
			return &lockFile{f}, nil
		case errors.Is(err, unix.EINTR):
		case !errors.Is(err, unix.EWOULDBLOCK), left <= 0:
			defer f.Close()
			return nil, &Error{Code: Busy, Addr: physical, Cause: "another bench has this port" + holder(f),
				Do: "stop it there or bind another gauge", Err: err}
		default:
			time.Sleep(lockLook)
		}
	}
}

// openLock opens or makes a lock file in a folder of the user's own, following no link that somebody else may
// have put in the place of either.
func openLock(dir, name string) (*os.File, error) {
	d, err := openOwn(dir)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	fd, err := unix.Openat(int(d.Fd()), name, unix.O_CREAT|unix.O_RDWR|unix.O_NOFOLLOW|unix.O_CLOEXEC, 0o600)
	if err != nil {
		return nil, &fs.PathError{Op: "open", Path: name, Err: err}
	}
	f := os.NewFile(uintptr(fd), name)
	if info, err := f.Stat(); err != nil || !info.Mode().IsRegular() {
		return nil, errors.Join(err, f.Close(), fmt.Errorf("%q is no file", name))
	}
	return f, nil
}

// tellHolder writes our process number, which is only told to people: failing to does not weaken the lock.
func tellHolder(f *os.File) {
	if f.Truncate(0) == nil {
		_, _ = f.WriteAt([]byte(strconv.Itoa(os.Getpid())+"\n"), 0)
	}
}

func (l *lockFile) release() {
	if l != nil {
		_ = l.f.Close() // the lock goes with the last descriptor of the file
	}
}

// lockName makes one file name of a device path: letters, digits, dot and minus stay, '/' becomes '_',
// every other byte its hexadecimal form, so that no two paths share a name.
func lockName(physical string) string {
	var b strings.Builder
	for i := 0; i < len(physical); i++ {
		c := physical[i]
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '.', c == '-':
			b.WriteByte(c)
		case c == '/':
			b.WriteByte('_')
		default:
			fmt.Fprintf(&b, "%%%02x", c)
		}
	}
	return "port" + b.String() + ".lock"
}

// holder reads the process number from a lock file, for the message only.
func holder(f *os.File) string {
	b := make([]byte, 20)
	n, err := f.ReadAt(b, 0)
	if err != nil && err != io.EOF {
		return ""
	}
	pid, err := strconv.Atoi(strings.TrimSpace(string(b[:n])))
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" (process %d)", pid)
}
