package session

import (
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
)

// Update is news of one gauge: its connection, what it sent, or both.
type Update struct {
	Gauge  string
	At     time.Time // when it arrived; zero means now
	State  string    // as in GaugeView.State; empty leaves it as it was
	Detail string
	Sample *wire.Sample     // a value
	Fault  *wire.FrameError // bytes that gave none
}

// liveGauge is what is known of a connection and not recorded.
type liveGauge struct {
	state  string
	detail string
	last   string
}

// Outcome says what became of an update.
type Outcome struct {
	Kind EventKind // Measured, Held or Refused; empty when nothing was recorded
	Seq  int64
}

// Arrived takes news of a gauge. A value is bound to the current rib and the next open characteristic of
// its round if the gauge is bound to that; in any doubt it is held and a person asked; bytes that gave
// no value are recorded with their reason. The error wraps [store.ErrNotSaved].
func (b *Bench) Arrived(u Update) (Outcome, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if u.At.IsZero() {
		u.At = b.now()
	}
	l := b.live[u.Gauge]
	if u.State != "" {
		l.state, l.detail = u.State, u.Detail
	}
	if u.Sample != nil {
		l.last = strings.TrimSpace(u.Sample.Value + " " + u.Sample.Unit)
	}
	b.live[u.Gauge] = l
	if u.Sample == nil && u.Fault == nil {
		b.publish()
		return Outcome{}, nil
	}
	if err := b.writable(); err != nil {
		b.publish()
		return Outcome{}, err
	}
	ev, ok := b.news(u)
	if !ok {
		b.publish()
		return Outcome{}, nil
	}
	r, err := b.add(ev.kind, "", u.At, ev.body)
	if err != nil {
		return Outcome{}, err
	}
	return Outcome{Kind: ev.kind, Seq: r.Seq}, nil
}

// news decides what to record of an update; false when too much of the kind was recorded already.
func (b *Bench) news(u Update) (event, bool) {
	g, known := b.state.gauge(u.Gauge)
	switch {
	case u.Fault != nil:
		return b.refuse(u, u.Fault.Code, u.Fault.Detail, u.Fault.Raw)
	case !known:
		return b.refuse(u, "unknown_gauge", fmt.Sprintf("gauge %q is not on record", u.Gauge), u.Sample.Raw)
	case b.state.open() == nil:
		return b.refuse(u, "no_batch", fmt.Sprintf("it sent %s and no batch is open", b.live[u.Gauge].last), u.Sample.Raw)
	}
	rd, err := sentReading(g, *u.Sample)
	if err != nil {
		var p *length.ParseError
		code := "bad_value"
		if errors.As(err, &p) {
			code = string(p.Code)
		}
		return b.refuse(u, code, err.Error(), u.Sample.Raw)
	}
	return b.bind(g, rd, *u.Sample, u)
}

// sentReading turns a sample into a reading, exactly.
func sentReading(g qc.Gauge, s wire.Sample) (ReadingBody, error) {
	unit := s.Unit
	if unit == "" {
		unit = g.Unit
	}
	v, err := length.Decimal(s.Value, unit)
	if err != nil {
		return ReadingBody{}, err
	}
	return ReadingBody{
		Gauge: g.ID, Entry: string(qc.Sent), Text: s.Value, Unit: unit, ValueNM: int64(v),
		RawHex: rawHex(s.Raw), Channel: s.Channel, Flags: s.Flags,
	}, nil
}

// bind is the binding rule.
func (b *Bench) bind(g qc.Gauge, rd ReadingBody, s wire.Sample, u Update) (event, bool) {
	o := b.state.open()
	held := HeldBody{ReadingBody: rd}
	hold := func(reason, ask string) (event, bool) {
		if o.waiting() >= maxHeld {
			return b.refuse(u, "too_many_held", fmt.Sprintf("it sent %s while %d values wait for an answer", b.live[u.Gauge].last, maxHeld), s.Raw)
		}
		held.Reason, held.Ask = reason, ask
		return event{Held, held}, true
	}
	r := o.current
	if r == nil {
		return hold("no rib is on the bench", "Start a rib, then take the value, or throw it out.")
	}
	held.Rib, held.Round = r.ID, r.Round
	next, open := r.Next(o.target)
	mine, bound := next, open && g.Covers(next.Kind)
	if !bound {
		// What it would be, should a person take it: the first open characteristic that it is bound to.
		if mine, bound = firstOpen(o, r, g); bound {
			held.Char = string(mine.ID)
		}
		if !open {
			return hold(fmt.Sprintf("the round of rib %s is complete", r.ID), "Start the next rib, or measure one characteristic again; then take the value or throw it out.")
		}
		return hold(fmt.Sprintf("%s is next and %s is not bound to it", next.Label(), g.Name), "Take it for what it was measured on, or throw it out.")
	}
	held.Char = string(next.ID)
	if rd.Unit != g.Unit {
		return hold(fmt.Sprintf("sent in %s, and the gauge is bound in %s", rd.Unit, g.Unit), fmt.Sprintf("Is %s right? Take it, or set the gauge back to %s and throw it out.", mmText(nm(rd.ValueNM)), g.Unit))
	}
	if q, doubt := b.state.doubt(o, r, next, rd, u.At); doubt {
		held.Suggest = int64(q.suggest)
		return hold(q.reason, q.ask)
	}
	if s.Accept != wire.Auto {
		return hold(flagReason(s), "Is it right? Take it, or throw it out and measure again.")
	}
	return event{Measured, MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(next.ID), Round: r.Round}}, true
}

// maxHeld bounds how many values may wait: a gauge on hold that streams must not fill the record.
const maxHeld = 20

func (o *batch) waiting() int {
	n := 0
	for _, h := range o.held {
		if !h.settled {
			n++
		}
	}
	return n
}

// firstOpen is the first characteristic of the round that lacks readings and that g is bound to.
func firstOpen(o *batch, r *rib, g qc.Gauge) (qc.Characteristic, bool) {
	for _, c := range o.target.Round {
		if g.Covers(c.Kind) && len(r.Counted(c.ID)) < c.Repeats {
			return c, true
		}
	}
	return qc.Characteristic{}, false
}

// flagReason says in words why the decoder does not vouch for a sample.
func flagReason(s wire.Sample) string {
	for _, f := range []struct{ flag, text string }{
		{"hold", "the gauge is on hold: the value may be an old one"},
		{"duplicate_suspect", "the same value came twice at once: sent twice?"},
		{"unit_changed", "the gauge changed its unit"},
	} {
		if slices.Contains(s.Flags, f.flag) {
			return f.text
		}
	}
	if len(s.Flags) > 0 {
		return "the gauge marks it: " + strings.ReplaceAll(strings.Join(s.Flags, ", "), "_", " ")
	}
	return "the gauge does not vouch for it"
}

// Bounds on what is recorded of refused frames: so many a minute for each gauge, the rest counted.
const (
	refusedAMinute = 6
	maxRaw         = 64
)

type refusalCount struct {
	since   time.Time
	n       int
	skipped int
}

func (b *Bench) refuse(u Update, code, detail string, raw []byte) (event, bool) {
	c := b.refusal[u.Gauge]
	if c == nil {
		c = &refusalCount{since: u.At}
		b.refusal[u.Gauge] = c
	}
	if d := u.At.Sub(c.since); d < 0 || d >= time.Minute {
		c.since, c.n = u.At, 0
	}
	if c.n >= refusedAMinute {
		c.skipped++
		return event{}, false
	}
	c.n++
	if c.skipped > 0 {
		detail += fmt.Sprintf(" (and %d more before it)", c.skipped)
		c.skipped = 0
	}
	return event{Refused, RefusedBody{Gauge: u.Gauge, Code: code, Detail: detail, RawHex: rawHex(raw)}}, true
}

func rawHex(raw []byte) string { return hex.EncodeToString(raw[:min(len(raw), maxRaw)]) }
