package store

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/gofrs/flock"
)

// lockName is the file that the one writing process of a folder holds locked. It is never the
// database itself, whose locks belong to SQLite, and it is never removed: removing it would let two
// processes each hold a lock on a file of that name.
const lockName = "record.lock"

// lockFolder takes the folder for this process and leaves its pid in the lock file for others to read.
func lockFolder(dir string) (*flock.Flock, error) {
	path := filepath.Join(dir, lockName)
	l := flock.New(path, flock.SetFlag(os.O_CREATE|os.O_RDWR), flock.SetPermissions(0o600))
	ok, err := l.TryLock()
	if err != nil {
		e := openError(filepath.Join(dir, fileName), err)
		e.Cause = fmt.Sprintf("the lock file %q cannot be taken: %v", path, err)
		return nil, e
	}
	if !ok {
		return nil, inUse(dir, path)
	}
	if err := os.WriteFile(path, []byte(strconv.Itoa(os.Getpid())+"\n"), 0o600); err != nil {
		_ = l.Unlock()
		return nil, openError(filepath.Join(dir, fileName), err)
	}
	return l, nil
}

func inUse(dir, path string) *OpenError {
	e := &OpenError{Fault: FaultInUse, Path: filepath.Join(dir, fileName),
		Cause: "another bench is running on this folder",
		Do:    "use its page, stop it first, or name another folder"}
	if text, err := os.ReadFile(path); err == nil {
		if pid, err := strconv.Atoi(strings.TrimSpace(string(text))); err == nil {
			e.PID = pid
			e.Cause = fmt.Sprintf("another bench (process %d) is running on this folder", pid)
		}
	}
	return e
}
