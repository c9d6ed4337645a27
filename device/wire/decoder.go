package wire

import (
	"slices"
	"time"
)

// Decoder turns the bytes of one gauge into events. Make one per opening of the port; time is counted
// from the opening and only comes in as an argument. A Decoder is not safe for concurrent use.
type Decoder struct {
	format Format
	family family
	now    time.Duration
	out    []Event

	unit   unitRule
	bound  string // the unit that counts by itself, "" until one was seen
	dup    time.Duration
	last   []lastValue // newest value of each channel, for double sends
	faults int         // line faults since the last good frame

	chunk     []byte // the slice given to Feed, while it runs
	chunkText string // copies of it, made when a frame first needs them
	chunkRaw  []byte
	samples   []Sample // room for the samples of this chunk
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
		d.chunk, d.chunkText, d.chunkRaw, d.samples = b, "", nil, nil
		d.family.feed(d.now, b)
		d.chunk, d.chunkText, d.chunkRaw, d.samples = nil, "", nil, nil
	}
	return d.take()
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
	if code == CodeLineNoise {
		if d.faults++; d.faults >= 3 {
			detail += "; several line faults in a row: speed or parity is probably wrong"
		}
	}
	d.out = append(d.out, Event{At: d.now, Err: &FrameError{Code: code, Raw: slices.Clone(raw), Detail: detail}})
}

// newSample hands out samples from one block per chunk, since a flood of small ones costs more than
// all the decoding.
func (d *Decoder) newSample() *Sample {
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

func (d *Decoder) textOf(f frame, s span) string {
	if s.from == s.to {
		return ""
	}
	if f.off < 0 {
		return string(f.raw[s.from:s.to])
	}
	if d.chunkText == "" {
		d.chunkText = string(d.chunk)
	}
	return d.chunkText[f.off+s.from : f.off+s.to]
}

func (d *Decoder) rawOf(f frame) []byte {
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
	s.Value = p.built
	if s.Value == "" {
		s.Value = d.textOf(f, p.where)
	}
	s.Unit = p.unit
	s.Channel = d.textOf(f, p.channel)
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
		if l.value == s.Value && l.unit == s.Unit && d.now-l.at <= d.dup {
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

func (d *Decoder) emit(s *Sample) { d.out = append(d.out, Event{At: d.now, Sample: s}) }
