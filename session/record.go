package session

import (
	"context"

	"springline/qc"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/rows"
	"springline/session/store"
)

// Batch is everything on record of a batch, by value, as of the last record. A closed batch is as it
// was when it was closed.
func (b *Bench) Batch(id string) (qc.Batch, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return batchOf(b.state, id)
}

func batchOf(s *book.Book, id string) (qc.Batch, error) {
	q, ok := s.BatchByID(id)
	if !ok {
		return q, words.Problem(words.CodeUnknown, "batch", "name one that is", "batch %q is not on record", id)
	}
	return q, nil
}

// BatchAt is the batch as of record seq.
func (b *Bench) BatchAt(ctx context.Context, id string, seq int64) (qc.Batch, error) {
	s, err := book.Replay(ctx, b.store, b.cfg.Bench, seq)
	if err != nil {
		return qc.Batch{}, err
	}
	if s.Seq != seq {
		return qc.Batch{}, words.Problem(words.CodeUnknown, "seq", "", "the record ends at %d and has no record %d", s.Seq, seq)
	}
	return batchOf(s, id)
}

// Batches lists the ids of the batches on record, oldest first.
func (b *Bench) Batches() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	list := []string{}
	for _, o := range b.state.Batches {
		list = append(list, o.Body.ID)
	}
	return list
}

// Rebuild makes the rows of the record in cfg.Dir, for those who read with SQL, and returns how many records
// it read. With check it changes nothing and compares instead: rows that differ are a *store.RebuildError. No
// bench may be running on the folder; one that is opened again takes the rows away, since they would grow old.
func Rebuild(ctx context.Context, cfg Config, check bool) (int64, error) {
	st, err := store.Open(ctx, cfg.Dir, cfg.Log)
	if err != nil {
		return 0, err
	}
	defer st.Close()
	return rows.Build(ctx, st, check)
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
