package store

import (
	"context"
	"errors"
	"fmt"
)

// ChainError names the first record that is not what it was when it was stored.
type ChainError struct {
	Bench  string
	Epoch  int64
	Seq    int64
	Reason string
}

func (e *ChainError) Error() string {
	return fmt.Sprintf("verify the record: bench %q epoch %d record %d: %s", e.Bench, e.Epoch, e.Seq, e.Reason)
}

// Verify works the chain out anew and returns the head of every epoch, in order. The first record that
// does not fit is a *ChainError. What was cut off at the end shows only against a head kept elsewhere,
// on a printed report for one: see VerifyHead.
func (s *Store) Verify(ctx context.Context) ([]Head, error) {
	return s.verify(ctx, nil)
}

// VerifyHead verifies the record and that record seq of epoch has the chain value given in hex.
func (s *Store) VerifyHead(ctx context.Context, epoch, seq int64, hash string) error {
	found := false
	_, err := s.verify(ctx, func(r Record) error {
		if r.Epoch != epoch || r.Seq != seq {
			return nil
		}
		if found = true; r.Digest.String() != hash {
			return &ChainError{Bench: r.Bench, Epoch: epoch, Seq: seq, Reason: "the record differs from the one whose value was given"}
		}
		return nil
	})
	if err == nil && !found {
		err = &ChainError{Epoch: epoch, Seq: seq, Reason: "the record is missing: it was cut off, or belongs to another bench"}
	}
	return err
}

func (s *Store) verify(ctx context.Context, also func(Record) error) ([]Head, error) {
	rows, err := s.readers.QueryxContext(ctx, recordColumns+"ORDER BY bench, epoch, seq")
	if err != nil {
		return nil, fmt.Errorf("verify the record: %w", err)
	}
	defer rows.Close()
	var heads []Head
	var last Head
	for rows.Next() {
		r, err := scanRecord(rows)
		if err != nil {
			return heads, &ChainError{Bench: last.Bench, Epoch: last.Epoch, Seq: last.Seq + 1, Reason: err.Error()}
		}
		if r.Bench != last.Bench {
			last = Head{Bench: r.Bench}
		}
		if err := follows(last, r); err != nil {
			return heads, err
		}
		if also != nil {
			if err := also(r); err != nil {
				return heads, err
			}
		}
		if n := len(heads); n > 0 && heads[n-1].Bench == r.Bench && heads[n-1].Epoch == r.Epoch {
			heads[n-1] = r.Head()
		} else {
			heads = append(heads, r.Head())
		}
		last = r.Head()
	}
	if err := rows.Err(); err != nil {
		return heads, errors.Join(&ChainError{Bench: last.Bench, Epoch: last.Epoch, Seq: last.Seq + 1, Reason: "cannot be read"}, err)
	}
	return heads, nil
}

// follows checks r against the record before it in the same bench.
func follows(last Head, r Record) error {
	bad := func(seq int64, reason string) error {
		return &ChainError{Bench: r.Bench, Epoch: r.Epoch, Seq: seq, Reason: reason}
	}
	var prev Hash
	if r.Epoch == last.Epoch {
		prev = last.Hash
	}
	switch {
	case r.Seq > last.Seq+1:
		return bad(last.Seq+1, "is missing")
	case r.Seq != last.Seq+1:
		return bad(r.Seq, fmt.Sprintf("stands after record %d", last.Seq))
	case r.Prev != prev:
		return bad(r.Seq, "does not continue the record before it")
	case r.hash() != r.Digest:
		return bad(r.Seq, "was changed after it was stored")
	}
	return nil
}
