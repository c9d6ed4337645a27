package store

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"
)

// rowTables are those that hold rows made from the record, and not the record.
const rowTables = `SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'
	AND name NOT IN ('record', 'migration') ORDER BY name`

// Difference is a table that is not what the record adds up to.
type Difference struct {
	Table string
	Rows  int    // that are in one of the two and not in the other
	First string // one such row, as text
}

// RebuildError says which tables were not what the record adds up to.
type RebuildError struct{ Differences []Difference }

func (e *RebuildError) Error() string {
	var parts []string
	for _, d := range e.Differences {
		parts = append(parts, fmt.Sprintf("%s (%d rows, one is %s)", d.Table, d.Rows, d.First))
	}
	return "rebuild the tables: not what the record adds up to: " + strings.Join(parts, "; ") + "; rebuild without checking to mend them"
}

// Rebuild makes the rows from the record in one transaction: add is given every record in order, finish
// comes last, and both write rows. With check nothing is changed, and rows that come out otherwise than they
// stand are a *RebuildError; without, they are replaced.
func (s *Store) Rebuild(ctx context.Context, check bool, add func(*Tx, Record) error, finish func(*Tx) error) (records int64, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failed != nil || s.conn == nil {
		return 0, &NotSavedError{Cause: errors.Join(errors.New("the record is not open for writing"), s.failed)}
	}
	if _, err := s.conn.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return 0, fmt.Errorf("rebuild the tables: %w", err)
	}
	records, err = s.rebuild(ctx, check, add, finish)
	end := "COMMIT"
	if err != nil || check {
		end = "ROLLBACK"
	}
	if _, e := s.conn.ExecContext(context.WithoutCancel(ctx), end); e != nil && err == nil {
		return records, s.fail(e)
	}
	return records, err
}

func (s *Store) rebuild(ctx context.Context, check bool, add func(*Tx, Record) error, finish func(*Tx) error) (int64, error) {
	var tables []string
	if err := s.conn.SelectContext(ctx, &tables, rowTables); err != nil {
		return 0, fmt.Errorf("rebuild the tables: %w", err)
	}
	if _, err := s.conn.ExecContext(ctx, "PRAGMA defer_foreign_keys = 1"); err != nil {
		return 0, err
	}
	for _, t := range tables {
		if check {
			if _, err := s.conn.ExecContext(ctx, "CREATE TEMP TABLE was_"+t+" AS SELECT * FROM main."+t); err != nil {
				return 0, fmt.Errorf("rebuild %s: %w", t, err)
			}
		}
		if _, err := s.conn.ExecContext(ctx, "DELETE FROM main."+t); err != nil {
			return 0, fmt.Errorf("rebuild %s: %w", t, err)
		}
	}
	n, err := s.addAll(ctx, add)
	if err == nil {
		err = finish(&Tx{s: s})
	}
	if err != nil || !check {
		return n, err
	}
	return n, compare(ctx, s.conn, tables)
}

// DropRows takes all rows away in one transaction: they were made from an older record.
func (s *Store) DropRows(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	var tables []string
	if err := s.conn.SelectContext(ctx, &tables, rowTables); err != nil {
		return fmt.Errorf("empty the tables: %w", err)
	}
	text := "BEGIN IMMEDIATE; PRAGMA defer_foreign_keys = 1;"
	for _, t := range tables {
		text += "DELETE FROM " + t + ";"
	}
	if _, err := s.conn.ExecContext(ctx, text+"COMMIT"); err != nil {
		_, e := s.conn.ExecContext(context.WithoutCancel(ctx), "ROLLBACK")
		return fmt.Errorf("empty the tables: %w", errors.Join(err, e))
	}
	return nil
}

// addAll reads in pages, since the one connection cannot read and write at once.
func (s *Store) addAll(ctx context.Context, add func(*Tx, Record) error) (int64, error) {
	const page = 1000
	tx := &Tx{s: s}
	var n int64
	at := Head{}
	for {
		records, err := nextPage(ctx, s.conn, at, page)
		if err != nil {
			return n, fmt.Errorf("rebuild the tables: %w", err)
		}
		for _, r := range records {
			if err := add(tx, r); err != nil {
				return n, fmt.Errorf("rebuild the tables: record %d: %w", r.Seq, err)
			}
			n++
			at = r.Head()
		}
		if len(records) < page {
			return n, nil
		}
	}
}

func nextPage(ctx context.Context, q sqlx.QueryerContext, after Head, limit int) ([]Record, error) {
	rows, err := q.QueryxContext(ctx, recordColumns+"WHERE (bench, epoch, seq) > (?, ?, ?) ORDER BY bench, epoch, seq LIMIT ?", after.Bench,
		after.Epoch, after.Seq, limit)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	var list []Record
	for rows.Next() {
		r, err := scanRecord(rows)
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	return list, rows.Err()
}

func compare(ctx context.Context, c *sqlx.Conn, tables []string) error {
	var e RebuildError
	for _, t := range tables {
		d := Difference{Table: t}
		for _, sides := range [][2]string{{"main." + t, "was_" + t}, {"was_" + t, "main." + t}} {
			rows, err := c.QueryxContext(ctx, "SELECT * FROM "+sides[0]+" EXCEPT SELECT * FROM "+sides[1])
			if err != nil {
				return fmt.Errorf("compare %s: %w", t, err)
			}
			for rows.Next() {
				d.Rows++
				if d.First == "" {
					values, err := rows.SliceScan()
					if err != nil {
						return errors.Join(err, rows.Close())
					}
					d.First = fmt.Sprint(values...)
				}
			}
			if err := errors.Join(rows.Err(), rows.Close()); err != nil {
				return fmt.Errorf("compare %s: %w", t, err)
			}
		}
		if d.Rows > 0 {
			e.Differences = append(e.Differences, d)
		}
	}
	if len(e.Differences) > 0 {
		return &e
	}
	return nil
}
