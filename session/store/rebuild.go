package store

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jmoiron/sqlx"
)

// keptTables are those that are not projections.
const keptTables = `'record', 'migration'`

// Difference is a projection that is not what the record adds up to.
type Difference struct {
	Table string
	Rows  int    // that are in one of the two and not in the other
	First string // one such row, as text
}

// RebuildError says which projections were not what the record adds up to.
type RebuildError struct{ Differences []Difference }

func (e *RebuildError) Error() string {
	var parts []string
	for _, d := range e.Differences {
		parts = append(parts, fmt.Sprintf("%s (%d rows, one is %s)", d.Table, d.Rows, d.First))
	}
	return "rebuild the projections: not what the record adds up to: " + strings.Join(parts, "; ") + "; rebuild without checking to mend them"
}

// Rebuild recreates the projections from the record in one transaction: project is given every record
// in order and writes the rows. With check nothing is changed, and projections that come out otherwise
// than they stand are a *RebuildError; without, they are replaced.
func (s *Store) Rebuild(ctx context.Context, check bool, project func(*Tx, Record) error) (records int64, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failed != nil || s.conn == nil {
		return 0, &NotSavedError{Cause: errors.Join(errors.New("the record is not open for writing"), s.failed)}
	}
	if _, err := s.conn.ExecContext(ctx, "BEGIN IMMEDIATE"); err != nil {
		return 0, fmt.Errorf("rebuild the projections: %w", err)
	}
	records, err = s.rebuild(ctx, check, project)
	end := "COMMIT"
	if err != nil || check {
		end = "ROLLBACK"
	}
	if _, e := s.conn.ExecContext(context.WithoutCancel(ctx), end); e != nil && err == nil {
		return records, s.fail(e)
	}
	return records, err
}

func (s *Store) rebuild(ctx context.Context, check bool, project func(*Tx, Record) error) (int64, error) {
	var tables []string
	if err := s.conn.SelectContext(ctx, &tables, `SELECT name FROM sqlite_schema WHERE type = 'table'
AND name NOT LIKE 'sqlite_%' AND name NOT IN (`+keptTables+`) ORDER BY name`); err != nil {
		return 0, fmt.Errorf("rebuild the projections: %w", err)
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
	n, err := s.projectAll(ctx, project)
	if err != nil || !check {
		return n, err
	}
	return n, compare(ctx, s.conn, tables)
}

// projectAll reads in pages, since the one connection cannot read and write at once.
func (s *Store) projectAll(ctx context.Context, project func(*Tx, Record) error) (int64, error) {
	const page = 1000
	tx := &Tx{s: s}
	var n int64
	at := Head{}
	for {
		records, err := nextPage(ctx, s.conn, at, page)
		if err != nil {
			return n, fmt.Errorf("rebuild the projections: %w", err)
		}
		for _, r := range records {
			if err := project(tx, r); err != nil {
				return n, fmt.Errorf("rebuild the projections: record %d: %w", r.Seq, err)
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
	rows, err := q.QueryxContext(ctx, recordColumns+"WHERE (bench, epoch, seq) > (?, ?, ?) ORDER BY bench, epoch, seq LIMIT ?", after.Bench, after.Epoch, after.Seq, limit)
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
