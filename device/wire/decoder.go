package wire

import (
	"slices"
	"springline/qc/words"
	"strings"
	"time"
)

// Decoder turns the bytes of one gauge into events. Make one per opening of the port; time is counted
// from the opening and only comes in as an argument. A Decoder is not safe for concurrent use.
type Decoder struct {
	format Format
	family family
	now    time.Duration
	out    []Event
	each   func(Event) // where events go instead of out, while FeedFunc runs

	unit   unitRule
	bound  string // the unit that counts by itself, "" until one was seen
	dup    time.Duration
	last   []lastValue // newest value of each channel, for double sends
	faults int         // line faults since the last good frame
	refuse int         // frames refused so far

	chunk    []byte          // the slice given to Feed, while it runs
	chunkRaw []byte          // a copy of it, made when a frame first needs it
	text     strings.Builder // the values and channels of this chunk, one behind the other
	samples  []Sample        // room for the samples of this chunk
	one      Sample          // the sample that FeedFunc hands out
}

type lastValue struct {
	channel, value, unit string
	at                   time.Duration
}

// maxChannels bounds what is remembered per channel; a gauge box has fewer.
const maxChannels = 64

// family is one way of cutting bytes into frames. Feed is only called with tick up to date.
type family interface {
	feed(at time.Duration, b []byte)
	// next is the time at which silence means something, if any.
	next() (time.Duration, bool)
	// tick is called with exactly that time.
	tick(at time.Duration)
}

// NewDecoder returns a decoder for frames of the format, or the *[FieldError] of [Format.Validate].
func NewDecoder(f Format) (*Decoder, error) {
	f.tidy()
	if err := f.Validate(); err != nil {
		return nil, err
	}
	unit, err := parseUnitRule(f.Unit)
	if err != nil {
		return nil, err
	}
	d := &Decoder{format: f, unit: unit, bound: unit.bound, dup: ms(f.DupWindowMS)}
	for _, row := range families() {
		if row.name == f.Family {
			if d.family, err = row.make(d); err != nil {
				return nil, err
			}
		}
	}
	return d, nil
}

func ms(n int) time.Duration { return time.Duration(n) * time.Millisecond }

// Format returns the format that the decoder was made for.
func (d *Decoder) Format() Format { return d.format }

// Feed takes bytes as they arrived and returns what they gave, after what the silence before them
// gave. b may be reused afterwards. A time before the last one is taken as the last one.
func (d *Decoder) Feed(at time.Duration, b []byte) []Event {
	d.out = nil
	d.advance(at)
	if len(b) > 0 {
		d.chunk = b
		d.family.feed(d.now, b)
		d.chunk, d.chunkRaw, d.samples = nil, nil, nil
		d.text.Reset()
	}
	return d.take()
}

// FeedFunc is [Decoder.Feed] for floods: it hands each event to each as it is decoded and keeps
// nothing. The sample and the raw bytes are only valid during the call.
func (d *Decoder) FeedFunc(at time.Duration, b []byte, each func(Event)) {
	d.each = each
	d.Feed(at, b)
	d.each = nil
}

// Tick tells the decoder that it is now at and nothing arrived, and returns what the silence means.
func (d *Decoder) Tick(at time.Duration) []Event {
	d.out = nil
	d.advance(at)
	return d.take()
}

// NextTick returns the time at which silence would mean something, so that a reader knows when to
// call Tick. It is false when silence means nothing, as between frames.
func (d *Decoder) NextTick() (time.Duration, bool) { return d.family.next() }

// Query asks a gauge of the query family: it drops what has arrived unasked, notes the question and
// returns the bytes to send, with the events that the time up to now gave. For other families both
// are nil. The answer must start before timeout_ms is over.
func (d *Decoder) Query(at time.Duration) (ask []byte, events []Event) {
	q, ok := d.family.(*queryFrames)
	if !ok {
		return nil, nil
	}
	d.out = nil
	d.advance(at)
	q.ask(d.now)
	return slices.Clone(q.query), d.take()
}

// BindUnit makes unit the one that counts by itself, after a person confirmed a change.
func (d *Decoder) BindUnit(unit string) { d.bound, d.unit.bound = unit, unit }

func (d *Decoder) take() []Event {
	out := d.out
	d.out = nil
	return out
}

func (d *Decoder) advance(at time.Duration) {
	at = max(at, d.now)
	for {
		t, ok := d.family.next()
		if !ok || t > at {
			break
		}
		d.now = max(d.now, t)
		d.family.tick(d.now)
	}
	d.now = at
}

func (d *Decoder) fail(code string, raw []byte, detail string) {
	if code != CodePartialAtOpen {
		d.refuse++
	}
	if code == CodeLineNoise {
		d.faults++
	}
	fault := words.FrameFault{Fault: detail, InARow: code == CodeLineNoise && d.faults >= 3}
	d.push(Event{At: d.now, Err: &FrameError{Code: code, Raw: slices.Clone(raw), Fault: fault}})
}

// newSample hands out samples from one block per chunk, since a flood of small ones costs more than
// all the decoding.
func (d *Decoder) newSample() *Sample {
	if d.each != nil {
		d.one = Sample{}
		return &d.one
	}
	if len(d.samples) == 0 {
		d.samples = make([]Sample, min(len(d.chunk)/8+1, 64))
	}
	s := &d.samples[0]
	d.samples = d.samples[1:]
	return s
}

// frame is where a family found a frame: its bytes and, if they lie in the chunk being fed, where.
type frame struct {
	raw []byte
	off int // -1: not in the chunk
}

// since returns what was written to the text builder from length n on. Builders only ever append, so
// such a string stays as it is.
func (d *Decoder) since(n int) string { return d.text.String()[n:] }

func (d *Decoder) rawOf(f frame) []byte {
	if d.each != nil {
		return f.raw
	}
	if f.off < 0 {
		return slices.Clone(f.raw)
	}
	if d.chunkRaw == nil {
		d.chunkRaw = slices.Clone(d.chunk)
	}
	to := f.off + len(f.raw)
	return d.chunkRaw[f.off:to:to]
}

// sampleOf makes the sample of a parsed frame, with what only the stream of frames can tell: a
// changed unit. The caller still decides about double sends.
func (d *Decoder) sampleOf(f frame, p *parsed) *Sample {
	s := d.newSample()
	digits := f.raw
	if p.digits != nil {
		digits = p.digits
	}
	if d.text.Cap() == 0 {
		d.text.Grow(len(d.chunk)/2 + 32)
	}
	n := d.text.Len()
	p.num.write(&d.text, digits)
	s.Value = d.since(n)
	s.Unit, s.InFrame = p.unit, p.named
	if c := p.channel; c.to > c.from {
		n := d.text.Len()
		d.text.Write(f.raw[c.from:c.to])
		s.Channel = d.since(n)
	}
	s.Flags = p.flags
	s.Accept = p.accept
	s.Raw = d.rawOf(f)
	d.faults = 0
	if s.Unit != d.bound {
		d.unitDiffers(s)
	}
	return s
}

// unitDiffers handles a unit other than the bound one. The first unit seen binds, unless the format
// or a person bound one. A switch is confirmed once: the unit stands in every frame.
func (d *Decoder) unitDiffers(s *Sample) {
	if s.Unit == "" {
		return // not required, not sent, not fixed: nothing to compare
	}
	if d.bound != "" {
		s.Flags = append(s.Flags, FlagUnitChanged)
		s.Accept = Confirm
	}
	if d.unit.bound == "" {
		d.bound = s.Unit
	}
}

// once flags s when it says the same as the last sample of its channel a moment ago.
func (d *Decoder) once(s *Sample) {
	if d.dup == 0 {
		return
	}
	for i := range d.last {
		l := &d.last[i]
		if l.channel != s.Channel {
			continue
		}
		if d.now-l.at <= d.dup && l.value == s.Value && l.unit == s.Unit {
			s.Flags = append(s.Flags, FlagDuplicate)
			s.Accept = Confirm
		}
		l.value, l.unit, l.at = s.Value, s.Unit, d.now
		return
	}
	if len(d.last) == maxChannels {
		d.last = d.last[1:]
	}
	d.last = append(d.last, lastValue{s.Channel, s.Value, s.Unit, d.now})
}

func (d *Decoder) emit(s *Sample) { d.push(Event{At: d.now, Sample: s}) }

func (d *Decoder) push(e Event) {
	if d.each != nil {
		d.each(e)
		return
	}
	if d.out == nil {
		d.out = make([]Event, 0, len(d.chunk)/16+2)
	}
	d.out = append(d.out, e)
}
