package qc

import (
	"fmt"
	"math"

	"springline/qc/length"
	"springline/qc/words"
)

// The steps that lengths are said in.
const (
	tenthMM     = 100 * length.Micrometre
	hundredthMM = 10 * length.Micrometre
)

// Proof is what a gauge can prove of one characteristic, and why not more.
type Proof struct {
	Char     Characteristic
	Gauge    Gauge
	Budget   Budget
	U        length.Length // standard uncertainty, rounded up
	DOF      float64       // effective degrees of freedom, +Inf where every part is a bound
	Coverage float64       // k for 95 %, from Student's t
	Expanded length.Length // k u, rounded up
	Guard    length.Length // what the rule takes off each limit; zero for the plain rule
	Cosine   *OneSided     // nil where the gauge is not laid along a line
	how      Decision
}

// NewProof weighs a measurement of c with gauge g: the one at hand, or one on target where none is given.
func NewProof(c Characteristic, g Gauge, how Decision, at *Deviation) (Proof, error) {
	p := Proof{Char: c, Gauge: g, Budget: expected(c, g, how), how: how}
	value := c.Nominal
	if at != nil {
		value = at.Value
		p.Budget = at.budget(g, how.Conditions)
	}
	e, err := p.Budget.Expand(0.95)
	if err != nil {
		return Proof{}, fmt.Errorf("uncertainty of %s with gauge %q: %w", c.Label(), g.ID, err)
	}
	p.U, p.DOF, p.Coverage = length.Length(math.Ceil(e.U)), e.Dof, e.Coverage
	p.Expanded = length.Length(math.Ceil(e.Expanded))
	if how.Rule == Proven {
		p.Guard = how.guard(p.Budget)
	}
	if o, ok := cosine(g, value); ok && (c.Kind == TipToTip || c.Kind == LegLength) {
		p.Cosine = &o
	}
	return p, nil
}

// Proof weighs c as measured on a rib in its present round, or with the best gauge on target where the rib is
// not there or c is still open on it; the judgement is then empty.
func (b Batch) Proof(c Characteristic, rib string) (Proof, Judgement, error) {
	if r, ok := b.Rib(rib); ok {
		v, err := b.Judge(r)
		if err != nil {
			return Proof{}, Judgement{}, err
		}
		if j, ok := v.Of(c.ID); ok && j.Measured {
			g, _ := b.Gauge(j.Dev.Gauge) // there, or it could not have been judged
			p, err := NewProof(c, g, b.Decision, &j.Dev)
			return p, j, err
		}
	}
	g, ok := bestGauge(c, b.Gauges, b.Decision)
	if !ok {
		return Proof{}, Judgement{}, fmt.Errorf("no gauge is bound to %s", c.Kind)
	}
	p, err := NewProof(c, g, b.Decision, nil)
	return p, Judgement{}, err
}

// Proofs are those of the round, each with the best gauge bound to it; what no gauge is bound to is left out.
// Stations read with one gauge on one tolerance are one.
func (b Batch) Proofs() []Proof {
	var list []Proof
	for _, c := range b.Target.Round {
		g, ok := bestGauge(c, b.Gauges, b.Decision)
		if !ok {
			continue
		}
		p, err := NewProof(c, g, b.Decision, nil)
		if err != nil || len(list) > 0 && p.like(list[len(list)-1]) {
			continue
		}
		list = append(list, p)
	}
	return list
}

func (p Proof) like(q Proof) bool {
	return p.Char.Kind == StationOffset && q.Char.Kind == StationOffset && p.Gauge.ID == q.Gauge.ID &&
		p.Char.Lower == q.Char.Lower && p.Char.Upper == q.Char.Upper && p.Budget == q.Budget
}

// Label names what the proof is for.
func (p Proof) Label() string {
	if p.Char.Kind == StationOffset {
		return "stations"
	}
	return p.Char.Label()
}

// Sentence names the largest part and what would shrink it, in one sentence.
func (p Proof) Sentence() string {
	top := p.Budget.Shares()[0]
	return fmt.Sprintf("Most of the doubt (%s) is %s: %s.", words.Share(100*top.Share), top.Name, p.shrink(top.Name))
}

// shrink is what makes a part smaller, with the standard uncertainty it would leave.
func (p Proof) shrink(part string) string {
	left := func(b Budget) string {
		return fmt.Sprintf("leaves u = %s mm instead of %s mm", words.Digits2(b.Combined()/float64(length.Millimetre)),
			words.Digits2(p.Budget.Combined()/float64(length.Millimetre)))
	}
	b := p.Budget
	switch part {
	case PartLimit:
		if p.Gauge.Kind == Tape && (p.Gauge.Class != "I" || p.Gauge.EndFace) {
			fine := p.Gauge
			fine.Class, fine.EndFace = "I", false
			b.Limit = float64(fine.PermissibleError(p.Char.Nominal)) / math.Sqrt(3)
			return "a class I tape read from a scribed zero " + left(b)
		}
		return "repeating does not help, only a gauge with a smaller allowed error does"
	case PartResolution:
		b.Resolution /= 2
		return fmt.Sprintf("reading to %s mm %s", p.Gauge.Resolution/2, left(b))
	case PartRepeat:
		n := 2 * max(p.Char.Repeats, 1)
		b.Repeat /= math.Sqrt2
		return fmt.Sprintf("the mean of %d readings %s", n, left(b))
	case PartBand:
		b.Band /= 2
		return "half the friction (rollers or a waxed board under the rib) " + left(b)
	case PartTemperature:
		return "measure when bar and gauge have lain in the shade together"
	default:
		return "mark the face that is measured to"
	}
}

// Zone says what the rule leaves to pass in.
func (p Proof) Zone() string {
	if p.how.Rule != Proven {
		return "Plain rule: the limits hold as they are and the doubt does not count."
	}
	if p.Guard >= p.Char.HalfWidth() {
		return fmt.Sprintf("The guard band of %s mm leaves nothing of the tolerance: this gauge cannot prove it.",
			words.AtLeast(p.Guard, tenthMM))
	}
	return fmt.Sprintf("The guard band takes %s mm off each limit: a deviation from %s to %s mm is proven in.",
		words.Fixed(p.Guard, hundredthMM), words.Signed(p.Char.Lower+p.Guard, hundredthMM), words.Signed(p.Char.Upper-p.Guard, hundredthMM))
}

// Help lists what would widen the pass zone where the guard takes more than half of it; empty else.
func (p Proof) Help() []string {
	if p.how.Rule != Proven || 2*p.Guard <= p.Char.HalfWidth() {
		return nil
	}
	return remedies(p.Char, p.Gauge, p.how, p.Char.HalfWidth()/2)
}

// CosineText is the part that only ever works one way.
func (p Proof) CosineText() string {
	if p.Cosine == nil {
		return ""
	}
	return fmt.Sprintf("Not in the sum, because it works one way only: laid %s mm off the straight line the "+
		"gauge reads %s mm too long, never too short; twice as far off, four times as much.",
		p.Cosine.Offset, words.Fixed(p.Cosine.Long, hundredthMM))
}

// CoverageText says how the expanded uncertainty comes about.
func (p Proof) CoverageText() string {
	dof := "every part is a bound, so k is that of the normal distribution"
	if !math.IsInf(p.DOF, 1) {
		dof = fmt.Sprintf("k is Student's t on %.0f effective degrees of freedom", math.Floor(p.DOF))
	}
	return fmt.Sprintf("U = %.2f u = %s mm at 95 %%; %s.", p.Coverage, words.Fixed(p.Expanded, hundredthMM), dof)
}
