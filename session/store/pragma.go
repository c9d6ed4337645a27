package store

import (
	"context"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"
)

// pragma is a setting and the value it reads back as. Every one is read back: an unknown or refused
// pragma is silently ignored by SQLite.
type pragma struct{ name, set, reads string }

type pragmas []pragma

// writerPragmas make an acknowledged commit survive a power cut. WAL is set last, once the rest holds.
var writerPragmas = pragmas{
	{"busy_timeout", fmt.Sprint(busyTimeout), fmt.Sprint(busyTimeout)},
	{"foreign_keys", "1", "1"},
	{"trusted_schema", "0", "0"},
	{"cell_size_check", "1", "1"},
	{"mmap_size", "0", "0"},
	{"synchronous", "FULL", "2"},
	{"fullfsync", "1", "1"},
	{"checkpoint_fullfsync", "1", "1"},
	{"journal_size_limit", "67108864", "67108864"},
	{"wal_autocheckpoint", "1000", "1000"},
	{"journal_mode", "WAL", "wal"},
	{"synchronous", "FULL", "2"},
}

var readerPragmas = pragmas{
	{"busy_timeout", fmt.Sprint(busyTimeout), fmt.Sprint(busyTimeout)},
	{"query_only", "1", "1"},
	{"trusted_schema", "0", "0"},
	{"cell_size_check", "1", "1"},
	{"mmap_size", "0", "0"},
}

// query gives the pragmas as connection options, so that every pooled connection has them.
func (ps pragmas) query() string {
	var b strings.Builder
	for _, p := range ps {
		b.WriteString("&_pragma=" + p.name + "(" + p.set + ")")
	}
	return b.String()
}

func setPragmas(ctx context.Context, c *sqlx.Conn, ps pragmas) error {
	for _, p := range ps {
		if _, err := c.ExecContext(ctx, "PRAGMA "+p.name+" = "+p.set); err != nil {
			return fmt.Errorf("set pragma %s: %w", p.name, err)
		}
	}
	return checkPragmas(ctx, c, ps)
}

func checkPragmas(ctx context.Context, c *sqlx.Conn, ps pragmas) error {
	for _, p := range ps {
		got := []string{}
		if err := c.SelectContext(ctx, &got, "PRAGMA "+p.name); err != nil {
			return fmt.Errorf("read pragma %s back: %w", p.name, err)
		}
		if p.name == "mmap_size" && len(got) == 0 {
			continue // no memory mapping built in
		}
		if len(got) != 1 || got[0] != p.reads {
			return &OpenError{Fault: FaultFolder,
				Cause: fmt.Sprintf("sqlite keeps %s at %q where %q is needed", p.name, strings.Join(got, ","), p.reads),
				Do:    "name a folder on a local disk; network and some removable file systems cannot hold a record safely"}
		}
	}
	return nil
}
