package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"time"

	"github.com/rs/zerolog"

	"springline/session/book"
	"springline/session/derive"
	"springline/session/log"
	"springline/session/show"
	"springline/session/store"
)

// Config is what a bench needs to know of its surroundings.
type Config struct {
	Dir      string // the data folder
	Bench    string // name of this bench, unique among those that a central server may collect; empty takes the one on record, else "bench"
	Software string // name and version of this program, for the record
	Now      func() time.Time
	Log      zerolog.Logger
}

// Bench is an open bench. It is safe for use by many goroutines: one of them writes at a time, readers
// of the view never wait for it.
type Bench struct {
	cfg   Config
	store *store.Store

	mu      sync.Mutex // guards everything below but the atomics
	state   *book.Book
	live    map[string]show.Live
	refusal map[string]*refusalCount
	closed  bool
	lost    error // the record could not be read back after a failed commit

	shown atomic.Pointer[shownView]

	listeners listeners
	answers   derive.LastAnswers
	lastShown show.LastShown
}

// ErrReadOnly is the answer to a change on a bench opened for reading.
var ErrReadOnly = errors.New("this bench was opened for reading only; use the page of the bench that is running")

// Open opens or creates the record in cfg.Dir and works the state out from it. Errors about the file
// are *store.OpenError.
func Open(ctx context.Context, cfg Config) (*Bench, error) {
	st, err := store.Open(ctx, cfg.Dir, cfg.Log)
	if err != nil {
		return nil, err
	}
	b, err := load(ctx, cfg, st)
	if err == nil {
		err = st.DropRows(ctx) // made for SQL from an older record
	}
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	if b.state.Seq == 0 {
		if err := b.startEpoch("a new record"); err != nil {
			return nil, errors.Join(err, st.Close())
		}
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.publish()
	return b, nil
}

// OpenReadOnly opens the record for reading, beside a running bench too. The state is that of the
// record at the time of the call; see [Bench.Refresh].
func OpenReadOnly(ctx context.Context, cfg Config) (*Bench, error) {
	st, err := store.OpenReadOnly(ctx, cfg.Dir, cfg.Log)
	if err != nil {
		return nil, err
	}
	b, err := load(ctx, cfg, st)
	if err != nil {
		return nil, errors.Join(err, st.Close())
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.publish()
	return b, nil
}

func load(ctx context.Context, cfg Config, st *store.Store) (*Bench, error) {
	if cfg.Now == nil {
		return nil, errors.New("open the bench: no clock was given")
	}
	head, err := st.ReadHead(ctx)
	if err != nil {
		return nil, err
	}
	switch {
	case cfg.Bench == "" && head.Bench != "":
		cfg.Bench = head.Bench
	case cfg.Bench == "":
		cfg.Bench = "bench"
	case head.Bench != "" && head.Bench != cfg.Bench:
		return nil, fmt.Errorf("open the record %q: it belongs to bench %q and not to %q; name that bench, or another data folder", st.Path(),
			head.Bench, cfg.Bench)
	}
	s, err := book.Replay(ctx, st, cfg.Bench, 0)
	if err != nil {
		return nil, err
	}
	b := &Bench{cfg: cfg, store: st, state: s, live: map[string]show.Live{}, refusal: map[string]*refusalCount{}}
	return b, nil
}

// Close closes the bench. A bench that is not closed loses nothing.
func (b *Bench) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil
	}
	b.closed = true
	b.listeners.close()
	return b.store.Close()
}

// startEpoch begins the first epoch or, after a restore, the next: its number is above every earlier
// one and, past the first, holds the time, so that two restores of one backup do not share it.
func (b *Bench) startEpoch(reason string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	now := b.cfg.Now()
	body := log.EpochBody{Software: b.cfg.Software, Reason: reason}
	epoch := int64(1)
	if b.state.Seq > 0 {
		epoch = max(b.state.Epoch+1, now.Unix())
		body.After = b.state.Head.String()
	}
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	return b.commit(store.Seal(b.storeHead(), b.cfg.Bench, epoch, string(log.EpochStarted), "", now, text))
}

// StartEpoch begins a new epoch: what a restore of a backup must do before anything else is recorded.
func (b *Bench) StartEpoch(reason string) error {
	if err := b.startEpoch(reason); err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.publish()
	return nil
}

func (b *Bench) storeHead() store.Head {
	return store.Head{Bench: b.state.Bench, Epoch: b.state.Epoch, Seq: b.state.Seq, Hash: b.state.Head}
}

// add records one event, which is on the disk when it returns. The caller holds mu.
func (b *Bench) add(kind log.Kind, key string, at time.Time, body any) (store.Record, error) {
	text, err := json.Marshal(body)
	if err != nil {
		return store.Record{}, fmt.Errorf("record %s: %w", kind, err)
	}
	r := store.Seal(b.storeHead(), b.cfg.Bench, b.state.Epoch, string(kind), key, at, text)
	if err := b.commit(r); err != nil {
		return store.Record{}, err
	}
	b.publish()
	return r, nil
}

// commit applies r to the state, stores it, and goes back to what is stored if that fails. Nobody sees the
// state before publish.
func (b *Bench) commit(r store.Record) error {
	if err := b.state.Apply(r); err != nil {
		b.restore()
		return err
	}
	err := b.store.Append([]store.Record{r})
	if err != nil {
		b.restore()
	}
	return err
}

// restore works the state out from the record again, after a change that was not stored.
func (b *Bench) restore() {
	s, err := book.Replay(context.Background(), b.store, b.cfg.Bench, 0)
	if err != nil {
		b.cfg.Log.Error().Err(err).Msg("read the record back after a failed commit")
		b.lost = err
		return
	}
	b.state, b.lost = s, nil
	b.publish()
}

// Reopen tries to go on after a failed commit: it opens the record again, checks it, and works the state
// out anew. A command whose answer never came may then turn out to be recorded; sent again under its
// key it gets its answer. The error wraps [store.ErrNotSaved]; the bench then stays as it was.
func (b *Bench) Reopen(ctx context.Context) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return &store.NotSavedError{Cause: errClosed}
	}
	if err := b.store.Reopen(ctx); err != nil {
		return err
	}
	b.restore()
	if b.lost != nil {
		return &store.NotSavedError{Cause: b.lost}
	}
	return nil
}

// Stored is one record, for those who follow the record by sequence.
type Stored struct {
	Epoch int64           `json:"epoch"`
	Seq   int64           `json:"seq"`
	Kind  log.Kind        `json:"kind"`
	AtUS  int64           `json:"at_us"`
	Body  json.RawMessage `json:"body"`
}

// ErrNoSuchPoint says that (epoch, seq) is no point of this record: whoever stood there must start
// over from the view.
var ErrNoSuchPoint = errors.New("that point is not in this record")

// Since gives up to limit records after the point (epoch, seq), which (0, 0) is the beginning of. A point
// that is not in the record is [ErrNoSuchPoint].
func (b *Bench) Since(ctx context.Context, epoch, seq int64, limit int) ([]Stored, error) {
	if seq < 0 || limit < 1 {
		return nil, ErrNoSuchPoint
	}
	var list []Stored
	found := seq == 0 && epoch == 0
	err := b.store.Each(ctx, b.cfg.Bench, max(0, seq-1), seq+int64(limit), func(r store.Record) error {
		if r.Seq == seq {
			found = r.Epoch == epoch
			return nil
		}
		list = append(list, Stored{Epoch: r.Epoch, Seq: r.Seq, Kind: log.Kind(r.Kind), AtUS: r.AtUS, Body: r.Body})
		return nil
	})
	if err != nil {
		return nil, err
	}
	if !found {
		return nil, ErrNoSuchPoint
	}
	return list, nil
}

// Refresh brings a bench opened for reading up to what the record holds now.
func (b *Bench) Refresh(ctx context.Context) error {
	s, err := book.Replay(ctx, b.store, b.cfg.Bench, 0)
	if err != nil {
		return err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.state = s
	b.publish()
	return nil
}

// now is the time for a record.
func (b *Bench) now() time.Time { return b.cfg.Now() }
