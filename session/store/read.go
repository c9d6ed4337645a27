package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"github.com/jmoiron/sqlx"
)

const recordColumns = `SELECT bench, epoch, seq, kind, coalesce("key", ''), at_us, zone_s, body, prev, hash FROM record `

func scanRecord(row interface{ Scan(...any) error }) (Record, error) {
	var r Record
	var prev, hash []byte
	if err := row.Scan(&r.Bench, &r.Epoch, &r.Seq, &r.Kind, &r.Key, &r.AtUS, &r.ZoneS, &r.Body, &prev, &hash); err != nil {
		return Record{}, err
	}
	if len(prev) != len(r.Prev) || len(hash) != len(r.Digest) {
		return Record{}, fmt.Errorf("record %d: a chain value of %d and %d bytes where 32 are needed", r.Seq, len(prev), len(hash))
	}
	copy(r.Prev[:], prev)
	copy(r.Digest[:], hash)
	return r, nil
}

// readHead finds the last record of the file.
func readHead(ctx context.Context, q sqlx.QueryerContext) (Head, error) {
	r, err := scanRecord(q.QueryRowxContext(ctx, recordColumns+"ORDER BY epoch DESC, seq DESC LIMIT 1"))
	if errors.Is(err, sql.ErrNoRows) {
		return Head{}, nil
	}
	if err != nil {
		return Head{}, fmt.Errorf("read the last record: %w", err)
	}
	return r.Head(), nil
}

// ReadHead is the head as it stands in the file now, seen by a reader.
func (s *Store) ReadHead(ctx context.Context) (Head, error) { return readHead(ctx, s.readers) }

// Each gives the records after seq in order, to the end or to the first error of fn, from one
// consistent state of the file. A to of zero means no upper end; it is inclusive.
func (s *Store) Each(ctx context.Context, bench string, after, to int64, fn func(Record) error) error {
	return each(ctx, s.readers, bench, after, to, fn)
}

func each(ctx context.Context, q sqlx.QueryerContext, bench string, after, to int64, fn func(Record) error) error {
	if to == 0 {
		to = 1<<63 - 1
	}
	rows, err := q.QueryxContext(ctx, recordColumns+"WHERE bench = ? AND seq > ? AND seq <= ? ORDER BY epoch, seq", bench, after, to)
	if err != nil {
		return fmt.Errorf("read records after %d: %w", after, err)
	}
	defer rows.Close()
	for rows.Next() {
		r, err := scanRecord(rows)
		if err != nil {
			return fmt.Errorf("read records after %d: %w", after, err)
		}
		if err := fn(r); err != nil {
			return err
		}
	}
	if err := rows.Err(); err != nil {
		return fmt.Errorf("read records after %d: %w", after, err)
	}
	return nil
}

// ByKey finds the record of a client key; false when there is none.
func (s *Store) ByKey(ctx context.Context, bench, key string) (Record, bool, error) {
	r, err := scanRecord(s.readers.QueryRowxContext(ctx, recordColumns+`WHERE bench = ? AND "key" = ?`, bench, key))
	if errors.Is(err, sql.ErrNoRows) {
		return Record{}, false, nil
	}
	if err != nil {
		return Record{}, false, fmt.Errorf("look up key %q: %w", key, err)
	}
	return r, true, nil
}
