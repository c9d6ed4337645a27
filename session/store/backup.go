package store

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/jmoiron/sqlx"
	"modernc.org/sqlite"
)

// Backup copies the record to path while the bench goes on. The copy is checked, on the disk and whole
// before it takes the name; a file that has the name is replaced.
func (s *Store) Backup(ctx context.Context, path string) error {
	temp := path + ".part"
	err := s.backup(ctx, temp, path)
	if err != nil {
		for _, left := range []string{temp, temp + "-wal", temp + "-shm", temp + "-journal"} {
			_ = os.Remove(left)
		}
		return fmt.Errorf("back the record up to %q: %w; nothing that was there has changed", path, err)
	}
	return nil
}

func (s *Store) backup(ctx context.Context, temp, path string) error {
	if same, err := sameFile(path, s.path); err != nil || same {
		return errors.Join(err, errors.New("that is the record itself; name another file"))
	}
	if err := os.Remove(temp); err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if err := s.copyPages(ctx, temp); err != nil {
		return err
	}
	if err := settle(ctx, temp); err != nil {
		return err
	}
	f, err := os.OpenFile(temp, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(temp, path); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

func sameFile(a, b string) (bool, error) {
	x, err := os.Stat(a)
	if errors.Is(err, os.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	y, err := os.Stat(b)
	if err != nil {
		return false, err
	}
	return os.SameFile(x, y), nil
}

func (s *Store) copyPages(ctx context.Context, temp string) error {
	c, err := s.readers.Connx(ctx)
	if err != nil {
		return err
	}
	defer c.Close()
	return c.Raw(func(dc any) error {
		src, ok := dc.(interface {
			NewBackup(string) (*sqlite.Backup, error)
		})
		if !ok {
			return errors.New("the driver has no backup")
		}
		b, err := src.NewBackup(dsn(temp, ""))
		if err != nil {
			return err
		}
		for {
			more, err := b.Step(256)
			if err == nil {
				err = ctx.Err()
			}
			if err != nil {
				return errors.Join(err, b.Finish())
			}
			if !more {
				return b.Finish()
			}
		}
	})
}

// settle checks the copy in full and makes one file of it.
func settle(ctx context.Context, temp string) error {
	db, err := sqlx.Open("sqlite", dsn(temp, "&_pragma=trusted_schema(0)&_pragma=cell_size_check(1)&_pragma=journal_mode(DELETE)"))
	if err != nil {
		return err
	}
	db.SetMaxOpenConns(1)
	var found string
	err = db.GetContext(ctx, &found, "PRAGMA integrity_check(1)")
	if err == nil && found != "ok" {
		err = fmt.Errorf("the copy fails its check: %s", found)
	}
	return errors.Join(err, db.Close())
}
