package session

import (
	"context"

	"springline/session/store"
)

// buildRows makes the rows of a record, of every bench in it, and returns how many records it read. With check
// it changes nothing and compares instead: rows that differ are a *store.RebuildError.
func buildRows(ctx context.Context, st *store.Store, check bool) (int64, error) {
	states := map[string]*state{}
	add := func(tx *store.Tx, r store.Record) error {
		s := states[r.Bench]
		if s == nil {
			s = newState(r.Bench)
			states[r.Bench] = s
		}
		if err := s.apply(r); err != nil {
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
