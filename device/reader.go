package device

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc/words"
)

// reader decodes one connection.
type reader struct {
	source *source
	conn   connection
	dec    *wire.Decoder
	number uint64
	at     time.Duration // the decoder's time never goes back
}

// since gives the decoder's time of a moment.
func (r *reader) since(t time.Time) time.Duration {
	r.at = max(r.at, t.Sub(r.conn.Opened()))
	return r.at
}

// arm sets the timer for the decoder's next wish.
func (r *reader) arm(t *time.Timer) {
	next, ok := r.dec.NextTick()
	if !ok {
		t.Reset(time.Hour)
		return
	}
	t.Reset(max(0, next-r.conn.Now().Sub(r.conn.Opened())))
}

func (r *reader) feed(ctx context.Context, c port.Chunk) {
	r.source.recorder.bytes(c.At, c.Data)
	r.emit(ctx, r.guard(func() []wire.Event { return r.dec.Feed(r.since(c.At), c.Data) }))
}

// tick lets silence count, but only after what has arrived already was fed with its own time.
func (r *reader) tick(ctx context.Context) {
	now := r.conn.Now() // before looking, since by a later time something more may have arrived
	for {
		select {
		case c, ok := <-r.conn.Chunks():
			if !ok {
				return // the loop sees the closed channel next
			}
			r.feed(ctx, c)
			continue
		default:
		}
		break
	}
	r.emit(ctx, r.guard(func() []wire.Event { return r.dec.Tick(r.since(now)) }))
}

// drain feeds what the port has handed over by the time of the stop.
func (r *reader) drain() {
	for {
		select {
		case c, ok := <-r.conn.Chunks():
			if !ok {
				return
			}
			r.feed(context.Background(), c)
		default:
			return
		}
	}
}

// finish tells the decoder that nothing more comes: half a frame at the loss is an error, not lost
// without a word.
func (r *reader) finish() {
	r.emit(context.Background(), r.guard(func() []wire.Event { return r.dec.Tick(r.at + time.Hour) }))
}

// ask sends the gauge's query.
func (r *reader) ask(ctx context.Context) error {
	r.tick(ctx) // drain before asking: what is there already answers an older question
	var b []byte
	now := r.conn.Now()
	r.emit(ctx, r.guard(func() (events []wire.Event) {
		b, events = r.dec.Query(r.since(now))
		return events
	}))
	if len(b) == 0 {
		return nil // not a gauge that is asked
	}
	r.source.recorder.ask(now)
	return r.conn.Write(b)
}

// guard keeps a fault in the decoder from ending the bench: it gives no reading and the
// frame's bytes are in the recording.
func (r *reader) guard(decode func() []wire.Event) (events []wire.Event) {
	defer func() {
		if p := recover(); p != nil {
			events = []wire.Event{{At: r.at, Err: &wire.FrameError{Code: "decoder_fault", Fault: words.FrameFault{Detail: fmt.Sprint(p)}}}}
		}
	}()
	return decode()
}

func (r *reader) emit(ctx context.Context, events []wire.Event) {
	s := r.source
	for _, e := range events {
		at, wall := s.hub.cfg.Clock.stamp(r.conn.Opened().Add(e.At))
		u := Update{Gauge: s.gauge.ID, State: StateReading}
		var c checked
		if e.Sample != nil {
			id, which := s.owner(e.Sample.Channel)
			c = s.hub.binder.check(s.gauge.ID, owned(e.Sample, which))
			e.Sample, u.Gauge, u.Unsure = c.sample, id, cmp.Or(c.unsure, which)
		}
		u.Reading = &Reading{Gauge: u.Gauge, Event: e, At: at, Wall: wall, Raw: rawOf(e), Connection: r.number}
		s.hub.deliver(ctx, s, u)
		s.hub.tellMoved(ctx, s, c.moved)
		s.hub.refresh(c.settled)
	}
}
