package rows

import (
	"context"

	"springline/session/book"
	"springline/session/store"
)

// Build makes the rows of a record, of every bench in it, and returns how many records it read. With check
// it changes nothing and compares instead: rows that differ are a *store.RebuildError.
func Build(ctx context.Context, st *store.Store, check bool) (int64, error) {
	states := map[string]*book.Book{}
	add := func(tx *store.Tx, r store.Record) error {
		s := states[r.Bench]
		if s == nil {
			s = book.New(r.Bench)
			states[r.Bench] = s
		}
		if err := s.Apply(r); err != nil {
			return err
		}
		return addRow(tx, s, r)
	}
	return st.Rebuild(ctx, check, add, func(tx *store.Tx) error {
		for _, s := range states {
			if err := finishRows(tx, s); err != nil {
				return err
			}
		}
		return nil
	})
}
