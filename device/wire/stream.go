package wire

import (
	"math/big"
	"slices"
	"time"
)

// streamFrames is the stream family: the gauge sends all the time, and one reading is captured when
// the value has stood still, the next only after it has moved away.
type streamFrames struct {
	*lines
	spec   textSpec
	n      int
	still  time.Duration
	band   *big.Int // nil = one unit of the last digit sent
	rearm  *big.Int // nil = ten times the band
	places []*plateau
	over   bool // the last frame was over-range
}

// plateau is the newest run of near-equal values of one channel.
type plateau struct {
	channel  string
	run      []stood
	unit     string
	switched bool     // the unit changed since the last capture
	captured *big.Int // nil = armed
	moveBy   *big.Int
}

// maxRun bounds what is remembered of a value that stands still; stable_n is at most 1000.
const maxRun = 4096

type stood struct {
	v      *big.Int
	at     time.Duration
	flags  []string
	accept Accept
}

func newStream(d *Decoder) (family, error) {
	spec, err := compileText(d.format)
	if err != nil {
		return nil, err
	}
	f := d.format
	s := &streamFrames{spec: spec, n: f.StableN, still: ms(f.StableMS)}
	if f.StableBand != "" {
		s.band, _ = scaled(f.StableBand)
	}
	if f.Rearm != "" {
		s.rearm, _ = scaled(f.Rearm)
	}
	s.lines = newLines(d, s.value)
	return s, nil
}

func (s *streamFrames) value(f frame) {
	var got parsed
	if s.spec.parse(f.raw, &got); got.code != "" {
		// A gauge that streams dashes while it touches nothing would flood; once a run is enough.
		if over := got.code == CodeOverRange; !over || !s.over {
			s.d.fail(got.code, f.raw, got.detail)
		}
		s.over = got.code == CodeOverRange
		return
	}
	s.over = false
	sample := s.d.sampleOf(f, &got)
	v, ok := scaled(sample.Value)
	if !ok {
		s.d.fail(CodeBadNumber, f.raw, "digits-uncomparable")
		return
	}
	p := s.place(sample.Channel)
	if p.unit != sample.Unit {
		p.run, p.captured, p.unit = p.run[:0], nil, sample.Unit
	}
	p.switched = p.switched || slices.Contains(sample.Flags, FlagUnitChanged)
	if p.captured != nil && new(big.Int).Sub(v, p.captured).CmpAbs(p.moveBy) > 0 {
		p.captured = nil
	}
	s.extend(p, stood{v, s.d.now, sample.Flags, sample.Accept}, sample.Value)
	if p.captured == nil && len(p.run) >= s.n && s.d.now-p.run[0].at >= s.still {
		s.capture(p, sample)
	}
}

func (s *streamFrames) place(channel string) *plateau {
	for _, p := range s.places {
		if p.channel == channel {
			return p
		}
	}
	if len(s.places) == maxChannels {
		s.places = s.places[1:]
	}
	p := &plateau{channel: channel}
	s.places = append(s.places, p)
	return p
}

// extend adds a value and drops from the front what is not within the band of the rest, or is not
// needed any more.
func (s *streamFrames) extend(p *plateau, e stood, text string) {
	p.run = append(p.run, e)
	band, lo, hi := s.bandFor(text), e.v, e.v
	keep := len(p.run) - 1
	for keep > 0 {
		v := p.run[keep-1].v
		if v.Cmp(lo) < 0 {
			lo = v
		}
		if v.Cmp(hi) > 0 {
			hi = v
		}
		if new(big.Int).Sub(hi, lo).Cmp(band) > 0 {
			break
		}
		keep--
	}
	for len(p.run)-keep > s.n && e.at-p.run[keep+1].at >= s.still {
		keep++
	}
	keep = max(keep, len(p.run)-maxRun)
	p.run = append(p.run[:0], p.run[keep:]...)
}

// bandFor is the band for a value as it was sent.
func (s *streamFrames) bandFor(text string) *big.Int {
	if s.band != nil {
		return s.band
	}
	decimals := 0
	for i := len(text) - 1; i >= 0 && text[i] != '.'; i-- {
		decimals++
	}
	if decimals == len(text) {
		decimals = 0
	}
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(18-decimals)), nil)
}

func (s *streamFrames) capture(p *plateau, sample *Sample) {
	for _, e := range p.run {
		for _, f := range e.flags {
			if !slices.Contains(sample.Flags, f) {
				sample.Flags = append(sample.Flags, f)
			}
		}
		if e.accept != Auto {
			sample.Accept = Confirm
		}
	}
	if p.switched {
		if !slices.Contains(sample.Flags, FlagUnitChanged) {
			sample.Flags = append(sample.Flags, FlagUnitChanged)
		}
		sample.Accept = Confirm
	}
	p.switched = false
	p.captured = p.run[len(p.run)-1].v
	if p.moveBy = s.rearm; p.moveBy == nil {
		p.moveBy = new(big.Int).Mul(big.NewInt(10), s.bandFor(sample.Value))
	}
	s.d.emit(sample)
}
