package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"syscall"
)

// LockFolder gives the folder of the lock files by which the programs of one user keep off each other's ports,
// and makes it when it is not there: in the first of the runtime folders that is this user's alone, else in a
// folder of the user's in temp. Locks of another user are not seen; a serial device then refuses by its exclusive mode.
func LockFolder(temp string, runtime ...string) (string, error) {
	dir := filepath.Join(temp, "springline-ports-"+strconv.Itoa(os.Geteuid()))
	for _, r := range runtime {
		if d, err := openOwn(r); r != "" && err == nil {
			_ = d.Close()
			dir = filepath.Join(r, "springline-ports")
			break
		}
	}
	if err := os.Mkdir(dir, 0o700); err != nil && !errors.Is(err, fs.ErrExist) {
		return "", fmt.Errorf("make the folder of port locks: %w", err)
	}
	d, err := openOwn(dir)
	if err != nil {
		return "", fmt.Errorf("use the folder of port locks: %w; remove what stands in its place", err)
	}
	return dir, d.Close()
}

// openOwn opens a folder, not through a link, that belongs to this user and that nobody else may write into:
// there nobody else can put a link in the place of a lock file.
func openOwn(dir string) (*os.File, error) {
	d, err := os.OpenFile(dir, os.O_RDONLY|syscall.O_DIRECTORY|syscall.O_NOFOLLOW, 0)
	if err != nil {
		return nil, err
	}
	info, err := d.Stat()
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	if owner := info.Sys().(*syscall.Stat_t).Uid; int(owner) != os.Geteuid() {
		return nil, errors.Join(fmt.Errorf("folder %q belongs to user %d, not to user %d", dir, owner, os.Geteuid()), d.Close())
	}
	if info.Mode().Perm()&0o022 != 0 {
		return nil, errors.Join(fmt.Errorf("other users may write into folder %q, mode %04o", dir, info.Mode().Perm()), d.Close())
	}
	return d, nil
}
