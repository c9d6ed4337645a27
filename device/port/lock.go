package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/gofrs/flock"
)

// lockFile keeps a second bench off a port. The kernel's exclusive mode does not hold for the
// administrator, so it is not enough by itself.
type lockFile struct{ f *flock.Flock }

// takeLock locks the file that stands for the physical port. The file stays when the lock is released:
// removing it would let two holders each lock their own file of the same name.
func takeLock(dir, physical string) (*lockFile, error) {
	if dir == "" {
		return nil, nil
	}
	name := filepath.Join(dir, lockName(physical))
	f := flock.New(name, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o644))
	ok, err := f.TryLock()
	switch {
	case errors.Is(err, fs.ErrPermission):
		return nil, &Error{Code: Busy, Addr: physical, Cause: fmt.Sprintf("lock file %q belongs to another user%s", name, holder(name)),
			Do: "stop that bench, or remove the file if none runs", Err: err}
	case err != nil:
		return nil, &Error{Code: Missing, Addr: physical, Cause: fmt.Sprintf("lock file %q cannot be made: %v", name, err),
			Do: "make the folder or choose another one", Err: err}
	case !ok:
		return nil, &Error{Code: Busy, Addr: physical, Cause: "another bench has this port" + holder(name),
			Do: "stop it there or bind another gauge"}
	}
	// The number is only told to people; failing to write it does not weaken the lock.
	_ = os.WriteFile(name, []byte(strconv.Itoa(os.Getpid())+"\n"), 0o644)
	return &lockFile{f}, nil
}

func (l *lockFile) release() {
	if l != nil {
		_ = l.f.Unlock()
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
func holder(name string) string {
	b, err := os.ReadFile(name)
	if err != nil || len(b) > 20 {
		return ""
	}
	pid, err := strconv.Atoi(strings.TrimSpace(string(b)))
	if err != nil {
		return ""
	}
	return fmt.Sprintf(" (process %d)", pid)
}
