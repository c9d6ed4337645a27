package store

import (
	"errors"
	"fmt"

	"modernc.org/sqlite"
)

// SetProcessSwitches turns on SQLite's two process-wide switches that the record wants: fdatasync in
// place of fsync (same durability, less work) and open-file-description locks (closing some other
// descriptor of the file no longer drops SQLite's locks). They can only be set before the first
// database is opened, so the command calls this once at its start. Where a system has neither, that is
// no error.
func SetProcessSwitches() error {
	if _, err := sqlite.Fdatasync(true); err != nil && !errors.Is(err, sqlite.ErrFdatasyncUnavailable) {
		return fmt.Errorf("switch sqlite to fdatasync: %w", err)
	}
	if _, err := sqlite.OFDLocking(true); err != nil && !errors.Is(err, sqlite.ErrOFDLockingUnavailable) {
		return fmt.Errorf("switch sqlite to open-file-description locks: %w", err)
	}
	return nil
}
