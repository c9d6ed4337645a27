package session

import (
	"cmp"
	"encoding/hex"
	"errors"
	"slices"
	"time"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/doubt"
	"springline/session/log"
)

// stateWords are the states of a connection in the words of the page.
var stateWords = map[device.State]string{
	device.StateConnecting:   "connecting",
	device.StateReading:      "reading",
	device.StateGone:         "unplugged",
	device.StateBusy:         "busy",
	device.StateNoPermission: "no permission",
	device.StateError:        "fault",
	device.StateEnded:        "ended",
}

// Outcome says what became of an update.
type Outcome struct {
	Kind log.Kind // Measured, Held or Refused; empty when nothing was recorded
	Seq  int64
}

// Arrived takes news of a gauge. A value is bound to the current rib and the next open characteristic of
// its round if the gauge is bound to that; in any doubt it is held and a person asked; bytes that gave
// no value are recorded with their reason. The error wraps [store.ErrNotSaved].
func (b *Bench) Arrived(u device.Update) (Outcome, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.noteLive(u)
	if u.Identity != nil {
		return b.moved(u)
	}
	in, ok := incomingOf(u, b.now)
	if !ok {
		b.publish()
		return Outcome{}, nil
	}
	err := b.writable()
	if err == nil {
		if ev, ok := b.news(in); ok {
			r, err := b.add(ev.Kind, "", in.at, ev.Body)
			return Outcome{Kind: ev.Kind, Seq: r.Seq}, err
		}
	}
	b.publish()
	return Outcome{}, err
}

func (b *Bench) noteLive(u device.Update) {
	l := b.live[u.Gauge]
	if w, ok := stateWords[u.State]; ok {
		l.State, l.Detail = w, u.Reason
		if u.Unsure.Why != "" {
			l.Detail = u.Unsure.Doubt()
		}
	}
	if u.Reading == nil { // of one reading alone its channel may be in doubt, which finding the gauge does not settle
		l.Unsure = u.Unsure.Why != ""
	}
	if u.Reading != nil && u.Reading.Event.Sample != nil {
		s := u.Reading.Event.Sample
		l.Value, l.Unit, l.LastAt, l.Received = s.Value, s.Unit, u.Reading.Wall, l.Received+1
		l.Low = slices.Contains(s.Flags, wire.FlagLowBattery)
	}
	b.live[u.Gauge] = l
}

// incoming is what a gauge sent: a sample or a fault.
type incoming struct {
	gauge  string
	at     time.Time
	sample *wire.Sample
	fault  *wire.FrameError
	unsure words.WhichGauge
}

func incomingOf(u device.Update, now func() time.Time) (incoming, bool) {
	if u.Reading == nil || u.Reading.Event.Sample == nil && u.Reading.Event.Err == nil {
		return incoming{}, false
	}
	in := incoming{gauge: u.Gauge, at: u.Reading.Wall, sample: u.Reading.Event.Sample, fault: u.Reading.Event.Err, unsure: u.Unsure}
	if in.at.IsZero() {
		in.at = now()
	}
	return in, true
}

// news decides what to record of what a gauge sent; false when too much of the kind was recorded already.
func (b *Bench) news(in incoming) (log.Event, bool) {
	g, known := b.state.Gauge(in.gauge)
	switch {
	case in.fault != nil:
		return b.refuse(in, in.fault.Code, in.fault.Fault)
	case !known:
		return b.refuse(in, "unknown_gauge", words.GaugeUnknown{Gauge: in.gauge})
	case g.Retired != "":
		return b.refuse(in, "out_of_use", words.SentOutOfUse{Sent: b.live[in.gauge].Last(), Why: g.Retired})
	case slices.Contains(in.sample.Flags, device.FlagIdentify):
		return b.refuse(in, "identify", words.SentToIdentify{Sent: b.live[in.gauge].Last()})
	case b.state.Open() == nil:
		return b.refuse(in, "no_batch", words.SentWithoutBatch{Sent: b.live[in.gauge].Last()})
	}
	rd, err := sentReading(g, *in.sample)
	if err != nil {
		var p *length.ParseError
		code := "bad_value"
		if errors.As(err, &p) {
			code = string(p.Code)
		}
		return b.refuse(in, code, words.NoLength{Text: in.sample.Value, Unit: cmp.Or(in.sample.Unit, g.Unit)})
	}
	if st, step, runs := b.state.RunningStudy(); runs {
		return b.bindStudy(st, step, g, rd, in)
	}
	return b.bind(g, rd, in)
}

// sentReading turns a sample into a reading, exactly.
func sentReading(g qc.Gauge, s wire.Sample) (log.ReadingBody, error) {
	unit := s.Unit
	if unit == "" {
		unit = g.Unit
	}
	v, err := length.Decimal(s.Value, unit)
	if err != nil {
		return log.ReadingBody{}, err
	}
	rd := log.ReadingBody{
		Gauge: g.ID, Entry: string(qc.Sent), Text: s.Value, Unit: unit, ValueNM: int64(v),
		RawHex: rawHex(s.Raw), Channel: s.Channel, Flags: slices.Clone(s.Flags),
	}
	if slices.Contains(s.Flags, device.FlagTyped) {
		rd.Entry = string(qc.Typed)
	}
	return rd, nil
}

// bind is the binding rule.
func (b *Bench) bind(g qc.Gauge, rd log.ReadingBody, in incoming) (log.Event, bool) {
	o := b.state.Open()
	held := log.HeldBody{ReadingBody: rd}
	hold := func(why, decide words.Finding) (log.Event, bool) {
		if o.Waiting() >= maxHeld {
			return b.refuse(in, "too_many_held", words.TooManyHeld{Sent: b.live[in.gauge].Last(), Wait: maxHeld})
		}
		held.Why, held.Decide = words.Said{Of: why}, words.Said{Of: decide}
		return log.Event{Kind: log.Held, Body: held}, true
	}
	r := o.Current
	if r == nil {
		return hold(words.NoRibOn{}, words.StartRib{})
	}
	held.Rib, held.Round = r.ID, r.Round
	next, open := r.Next(o.TargetOf(r))
	mine, bound := next, open && g.Covers(next.Kind)
	if !bound {
		// What it would be, should a person take it: the first open characteristic that it is bound to.
		if mine, bound = firstOpen(o, r, g); bound {
			held.Char = string(mine.ID)
		}
		if slices.Contains(in.sample.Flags, wire.FlagDuplicate) {
			return hold(words.Marked{Flags: in.sample.Flags}, words.BouncedOrSecond{})
		}
		if !open {
			return hold(words.RoundComplete{Rib: r.ID}, words.NextRib{})
		}
		return hold(words.NotBound{Next: words.Char(next.ID), Gauge: g.Name}, words.TakeAsMeasured{})
	}
	held.Char = string(mine.ID)
	if in.unsure.Why != "" {
		return hold(in.unsure, words.SayWhich{})
	}
	if rd.Unit != g.Unit {
		return hold(words.OtherUnit{Sent: rd.Unit, Bound: g.Unit}, words.SetBack{Value: length.Length(rd.ValueNM), Unit: g.Unit})
	}
	if q, not := doubt.NotChecked(o, g, in.at); not {
		return hold(q.Why, q.Ask)
	}
	q, asks := doubt.Of(b.state, o, r, next, rd, in.at)
	if !asks && !in.sample.InFrame {
		q, asks = doubt.Finer(g, next, rd)
	}
	if asks {
		held.Suggest, held.Repeat = int64(q.Suggest), q.Repeat
		return hold(q.Why, q.Ask)
	}
	if in.sample.Accept != wire.Auto {
		return hold(words.Marked{Flags: in.sample.Flags}, words.TakeOrAgain{})
	}
	return log.Event{Kind: log.Measured, Body: log.MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(next.ID), Round: r.Round}}, true
}

// maxHeld bounds how many values may wait: a gauge on hold that streams must not fill the record.
const maxHeld = 20

// firstOpen is the first characteristic of the round that lacks readings and that g is bound to.
func firstOpen(o *book.Batch, r *book.Rib, g qc.Gauge) (qc.Characteristic, bool) {
	for _, c := range o.TargetOf(r).Round {
		if g.Covers(c.Kind) && len(r.Counted(c.ID)) < c.Repeats {
			return c, true
		}
	}
	return qc.Characteristic{}, false
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

func (b *Bench) refuse(in incoming, code string, what words.Finding) (log.Event, bool) {
	c := b.refusal[in.gauge]
	if c == nil {
		c = &refusalCount{since: in.at}
		b.refusal[in.gauge] = c
	}
	if d := in.at.Sub(c.since); d < 0 || d >= time.Minute {
		c.since, c.n = in.at, 0
	}
	if c.n >= refusedAMinute {
		c.skipped++
		return log.Event{}, false
	}
	var raw []byte
	if in.fault != nil {
		raw = in.fault.Raw
	} else {
		raw = in.sample.Raw
	}
	c.n++
	if c.skipped > 0 {
		what = words.AndMore{What: words.Said{Of: what}, More: c.skipped}
		c.skipped = 0
	}
	body := log.RefusedBody{Gauge: in.gauge, Code: code, What: words.Said{Of: what}, RawHex: rawHex(raw)}
	return log.Event{Kind: log.Refused, Body: body}, true
}

func rawHex(raw []byte) string { return hex.EncodeToString(raw[:min(len(raw), maxRaw)]) }
