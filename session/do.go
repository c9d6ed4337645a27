package session

import (
	"context"
	"errors"
	"fmt"

	"springline/qc/strict"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/store"
)

var errClosed = errors.New("the bench is closed")

// Do carries a command out. When it returns an Ack the record is on the disk and shown. Errors are
// *words.Refusal, or wrap [store.ErrNotSaved].
func (b *Bench) Do(ctx context.Context, o command.Order) (command.Ack, error) {
	r, ok := o.Op().Row()
	if !ok {
		return command.Ack{}, words.Problem(words.CodeBadOp, "op", "", "operation %q is not known", o.Op())
	}
	for _, part := range []any{o.Deed, o.Sent} {
		if err := strict.Check(part); err != nil {
			return command.Ack{}, command.Misread(r.Op, err)
		}
	}
	if o.Key != "" {
		var err error
		if o.Print, err = command.PrintOf(o.Deed); err != nil {
			return command.Ack{}, fmt.Errorf("carry out %q: %w", r.Op, err)
		}
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.writable(); err != nil {
		return command.Ack{}, err
	}
	if o.Key != "" {
		before, found, err := b.store.ByKey(ctx, b.cfg.Bench, o.Key)
		if err != nil {
			return command.Ack{}, err
		}
		if found {
			return command.Repeated(o, r.As, before)
		}
	}
	if err := ctx.Err(); err != nil {
		return command.Ack{}, err
	}
	d := b.desk()
	ev, err := r.Decide(d, o.Sent, o.Deed)
	if err != nil {
		return command.Ack{}, err
	}
	rec, err := b.add(ev.Kind, o.Key, b.cfg.Now(), ev.Body)
	if err != nil {
		return command.Ack{}, err
	}
	return command.AckOf(rec)
}

// Set has things stated as a job states them: what is on record just so is passed over.
func (b *Bench) Set(ctx context.Context, deeds ...command.Deed) error {
	for _, d := range deeds {
		if _, err := b.Do(ctx, command.Order{Deed: d}); err != nil && !errors.Is(err, command.ErrSame) {
			return err
		}
	}
	return nil
}

// desk is what a verb is decided on now.
func (b *Bench) desk() *command.Desk {
	return &command.Desk{Book: b.state, Is: b.derived(), Now: b.cfg.Now, Bench: b.cfg.Bench, CanConnect: connects}
}

// writable says why nothing can be recorded, if so.
func (b *Bench) writable() error {
	switch {
	case b.closed:
		return &store.NotSavedError{Cause: errClosed}
	case b.store.ReadOnly():
		return ErrReadOnly
	case b.lost != nil:
		return &store.NotSavedError{Cause: b.lost}
	}
	if err := b.store.Failed(); err != nil {
		return &store.NotSavedError{Cause: err}
	}
	return nil
}
