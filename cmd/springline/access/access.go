package access

import (
	"context"
	"errors"
	"fmt"

	"springline/session"
	"springline/session/command"
	"springline/session/show"
	"springline/session/store"
)

// Way is a way to the bench that holds a data folder. Errors are those of session.Bench: a
// *words.Refusal for what the bench refuses, one that wraps store.ErrNotSaved for what it could not
// store.
type Way interface {
	View(context.Context) (show.View, error)
	Do(context.Context, command.Order) (command.Ack, error)
	// Partners and RunOrder are those of session.Bench.
	Partners(ctx context.Context, rib string) ([]show.PartnerView, error)
	RunOrder(ctx context.Context, first, last string) (show.OrderView, error)
	Close() error
}

// Open opens the record of cfg.Dir, or where a running bench has it, a way to that bench. Errors about the
// file are *store.OpenError; a record in use by a program without a page stays one with store.FaultInUse.
func Open(ctx context.Context, cfg session.Config) (Way, error) {
	b, err := session.Open(ctx, cfg)
	if err == nil {
		return direct{b}, nil
	}
	var open *store.OpenError
	if !errors.As(err, &open) || open.Fault != store.FaultInUse {
		return nil, err
	}
	addr, there := announced(cfg.Dir)
	if !there {
		return nil, err
	}
	r := newRemote(addr)
	if v, viewErr := r.View(ctx); viewErr != nil {
		return nil, fmt.Errorf("%w; the bench page %s that it named does not answer: %v", err, addr, viewErr)
	} else if cfg.Bench != "" && v.Bench != cfg.Bench {
		return nil, fmt.Errorf("reach the running bench at %s: it is bench %q and not %q", addr, v.Bench, cfg.Bench)
	}
	return r, nil
}

// Beside reports whether the way leads to a bench that runs in another process.
func Beside(w Way) bool {
	_, far := w.(*remote)
	return far
}

// direct is the record opened by this very process.
type direct struct{ *session.Bench }

func (d direct) View(context.Context) (show.View, error) { return d.Bench.View(), nil }

func (d direct) Partners(_ context.Context, rib string) ([]show.PartnerView, error) {
	return d.Bench.Partners(rib)
}

func (d direct) RunOrder(_ context.Context, first, last string) (show.OrderView, error) {
	return d.Bench.RunOrder(first, last)
}
