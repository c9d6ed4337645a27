package session

import (
	"context"

	"springline/session/store"
)

// Rebuild makes the rows of the record in cfg.Dir, for those who read with SQL, and returns how many records
// it read. With check it changes nothing and compares instead: rows that differ are a *store.RebuildError. No
// bench may be running on the folder; one that is opened again takes the rows away, since they would grow old.
func Rebuild(ctx context.Context, cfg Config, check bool) (int64, error) {
	st, err := store.Open(ctx, cfg.Dir, cfg.Log)
	if err != nil {
		return 0, err
	}
	defer st.Close()
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

// Verify works the hash chain out anew and returns the head of every epoch; the first record that does
// not fit is a *store.ChainError.
func (b *Bench) Verify(ctx context.Context) ([]store.Head, error) { return b.store.Verify(ctx) }

// VerifyHead verifies the record against one chain value kept elsewhere, such as on a printed report.
func (b *Bench) VerifyHead(ctx context.Context, epoch, seq int64, hash string) error {
	return b.store.VerifyHead(ctx, epoch, seq, hash)
}

// Backup copies the record to path while the bench goes on.
func (b *Bench) Backup(ctx context.Context, path string) error { return b.store.Backup(ctx, path) }
