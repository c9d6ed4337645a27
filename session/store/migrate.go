package store

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"sort"
	"strconv"
	"strings"

	"github.com/jmoiron/sqlx"
)

//go:embed migrations/*.sql
var migrationFiles embed.FS

type migration struct {
	version int
	name    string
	text    string
	sum     string
}

// migrations lists the files in order: 0001_record.sql is version 1. Gaps are a fault of the build.
func migrations() ([]migration, error) {
	names, err := fs.Glob(migrationFiles, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	sort.Strings(names)
	var list []migration
	for i, n := range names {
		text, err := migrationFiles.ReadFile(n)
		if err != nil {
			return nil, err
		}
		base := strings.TrimPrefix(n, "migrations/")
		v, err := strconv.Atoi(base[:4])
		if err != nil || v != i+1 {
			return nil, fmt.Errorf("migration %q is not number %04d", base, i+1)
		}
		sum := sha256.Sum256(text)
		list = append(list, migration{version: v, name: base, text: string(text), sum: hex.EncodeToString(sum[:])})
	}
	return list, nil
}

const createMigrationTable = `CREATE TABLE IF NOT EXISTS migration (
    version INTEGER PRIMARY KEY, name TEXT NOT NULL, sha256 TEXT NOT NULL) STRICT`

// migrate brings the schema up to date, one transaction a file, and checks that what was applied
// before is what this program carries.
func migrate(ctx context.Context, c *sqlx.Conn, list []migration) error {
	var at int
	if err := c.GetContext(ctx, &at, "PRAGMA user_version"); err != nil {
		return err
	}
	if at > 0 {
		if err := checkApplied(ctx, c, list[:min(at, len(list))]); err != nil {
			return err
		}
	}
	for _, m := range list {
		if m.version <= at {
			continue
		}
		if err := apply(ctx, c, m); err != nil {
			return fmt.Errorf("bring the record to schema %d (%s): %w", m.version, m.name, err)
		}
	}
	return nil
}

func apply(ctx context.Context, c *sqlx.Conn, m migration) (err error) {
	if _, err = c.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			_, _ = c.ExecContext(ctx, "ROLLBACK")
		}
	}()
	if _, err = c.ExecContext(ctx, createMigrationTable); err != nil {
		return err
	}
	if _, err = c.ExecContext(ctx, m.text); err != nil {
		return err
	}
	if _, err = c.ExecContext(ctx, "INSERT INTO migration (version, name, sha256) VALUES (?, ?, ?)", m.version, m.name, m.sum); err != nil {
		return err
	}
	// A pragma takes no parameters; the number is ours.
	if _, err = c.ExecContext(ctx, "PRAGMA user_version = "+strconv.Itoa(m.version)); err != nil {
		return err
	}
	_, err = c.ExecContext(ctx, "COMMIT")
	return err
}

func checkApplied(ctx context.Context, c *sqlx.Conn, list []migration) error {
	for _, m := range list {
		var sum string
		if err := c.GetContext(ctx, &sum, "SELECT sha256 FROM migration WHERE version = ?", m.version); err != nil {
			return fmt.Errorf("look up schema step %d: %w", m.version, err)
		}
		if sum != m.sum {
			return &OpenError{Fault: FaultForeign, Cause: fmt.Sprintf("its schema step %d (%s) differs from this program's", m.version, m.name),
				Do: "open it with the program that made it"}
		}
	}
	return nil
}
