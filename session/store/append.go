package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jmoiron/sqlx"
)

const insertRecord = `INSERT INTO record (bench, epoch, seq, kind, "key", at_us, zone_s, body, prev, hash)
VALUES (?, ?, ?, ?, nullif(?, ''), ?, ?, ?, ?, ?)`

// Tx is the transaction that writes, records or rows.
type Tx struct {
	s *Store
}

// Exec runs one statement. Statements are kept prepared by their text, so the text
// must be a constant.
func (t *Tx) Exec(query string, args ...any) error {
	st, err := t.s.prepared(query)
	if err != nil {
		return err
	}
	_, err = st.Exec(args...)
	return err
}

func (s *Store) prepared(query string) (*sqlx.Stmt, error) {
	if st, ok := s.stmts[query]; ok {
		return st, nil
	}
	st, err := s.conn.PreparexContext(context.Background(), query)
	if err != nil {
		return nil, err
	}
	s.stmts[query] = st
	return st, nil
}

// Head is the end of the record.
func (s *Store) Head() Head {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.head
}

// Append stores records, each sealed on the one before and the first on Head, in one transaction. When it
// returns nil they are on the disk. An error means that nothing was stored and is a *NotSavedError or wraps
// ErrKeyUsed. It cannot be cancelled: an abandoned commit would have an unknown outcome.
func (s *Store) Append(records []Record) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failed != nil {
		return &NotSavedError{Cause: s.failed}
	}
	if s.conn == nil || len(records) == 0 {
		return &NotSavedError{Cause: errors.New("nothing to write to, or nothing to write")}
	}
	head := s.head
	for _, r := range records {
		if want := Seal(head, r.Bench, r.Epoch, r.Kind, r.Key, r.At(), r.Body); want.Seq != r.Seq || want.Digest != r.Digest {
			return fmt.Errorf("append record %d: it does not follow record %d", r.Seq, head.Seq)
		}
		head = r.Head()
	}
	if err := s.write(records); err != nil {
		return err
	}
	s.head, s.dirty, s.fresh = head, true, true
	return nil
}

func (s *Store) write(records []Record) error {
	tx := &Tx{s: s}
	if err := tx.Exec("BEGIN IMMEDIATE"); err != nil {
		return s.fail(err)
	}
	for _, r := range records {
		err := tx.Exec(insertRecord, r.Bench, r.Epoch, r.Seq, r.Kind, r.Key, r.AtUS, r.ZoneS, string(r.Body), r.Prev[:], r.Digest[:])
		if code(err) == codeConstraint && r.Key != "" && s.hasKey(r) {
			s.rollback(tx)
			return fmt.Errorf("append record %d with key %q: %w", r.Seq, r.Key, ErrKeyUsed)
		}
		if err != nil {
			return s.failTx(tx, err)
		}
	}
	if err := tx.Exec("COMMIT"); err != nil {
		return s.failTx(tx, err)
	}
	return nil
}

func (s *Store) hasKey(r Record) bool {
	var n int
	err := s.conn.GetContext(context.Background(), &n, `SELECT count(*) FROM record WHERE bench = ? AND "key" = ?`, r.Bench, r.Key)
	return err == nil && n > 0
}

func (s *Store) rollback(tx *Tx) {
	if err := tx.Exec("ROLLBACK"); err != nil {
		// SQLite rolls back by itself after the errors that end a transaction.
		s.log.Debug().Err(err).Msg("roll back")
	}
}

func (s *Store) failTx(tx *Tx, err error) error {
	s.rollback(tx)
	return s.fail(err)
}

// fail poisons the writer. Any failure inside the transaction does, not only those that name the
// disk: none is expected, and going on would be a guess.
func (s *Store) fail(err error) error {
	s.failed = err
	s.log.Error().Err(err).Int64("after", s.head.Seq).Msg("the record could not be written; nothing more is taken")
	return &NotSavedError{Cause: err}
}

// Failed is the error of the first failed commit, nil while everything was stored.
func (s *Store) Failed() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.failed
}

// idle checkpoints while nothing is being measured, so that no reading has to wait for it.
func (s *Store) idle() {
	defer s.idleWG.Done()
	const quiet = 3 * time.Second
	t := time.NewTicker(quiet)
	defer t.Stop()
	for {
		select {
		case <-s.stop:
			return
		case <-t.C:
			s.checkpointIfIdle()
		}
	}
}

// checkpointIfIdle checkpoints when nothing was appended since it was last called.
func (s *Store) checkpointIfIdle() {
	s.mu.Lock()
	defer s.mu.Unlock()
	busy := s.fresh
	s.fresh = false
	if !s.dirty || busy || s.failed != nil || s.conn == nil {
		return
	}
	s.dirty = false
	if _, err := s.conn.ExecContext(context.Background(), "PRAGMA wal_checkpoint(PASSIVE)"); err != nil {
		s.log.Warn().Err(err).Msg("checkpoint")
	}
}
