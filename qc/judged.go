package qc

import (
	"fmt"
	"math"

	"springline/qc/length"
	"springline/qc/words"
)

// JudgedRib is a rib with its verdict.
type JudgedRib struct {
	Rib
	Verdict Verdict
}

// Judged is a batch judged once, so that all who look at its ribs read the same verdicts.
type Judged struct {
	Batch
	InOrder []JudgedRib // in bend order
	ByNeed  []JudgedRib // what needs a hand first, in bend order within a verdict
	steps   map[CharID]length.Length
}

// Judged judges every rib. It fails when a measurement names a gauge that is not in the batch.
func (b Batch) Judged() (Judged, error) {
	j := Judged{Batch: b, steps: map[CharID]length.Length{}}
	for _, r := range b.Ribs {
		v, err := b.Judge(r)
		if err != nil {
			return Judged{}, err
		}
		j.InOrder = append(j.InOrder, JudgedRib{r, v})
	}
	for _, word := range Words() {
		j.ByNeed = append(j.ByNeed, j.With(word)...)
	}
	if odd := len(j.InOrder) - len(j.ByNeed); odd > 0 {
		return Judged{}, fmt.Errorf("%d of %d ribs have a verdict that is none of %v", odd, len(j.InOrder), Words())
	}
	for _, c := range b.Target.Round {
		j.steps[c.ID] = j.deviationStep(c)
	}
	return j, nil
}

// With are the ribs with a verdict, in bend order.
func (j Judged) With(word Word) []JudgedRib {
	var rs []JudgedRib
	for _, r := range j.InOrder {
		if r.Verdict.Word == word {
			rs = append(rs, r)
		}
	}
	return rs
}

// JudgedRib finds a rib of the batch.
func (j Judged) JudgedRib(id string) (JudgedRib, bool) {
	for _, r := range j.InOrder {
		if r.ID == id {
			return r, true
		}
	}
	return JudgedRib{}, false
}

// Measured are the judgements on characteristic c of all ribs that have one, in bend order.
func (j Judged) Measured(c CharID) []Judgement {
	var js []Judgement
	for _, r := range j.InOrder {
		if x, ok := r.Verdict.Of(c); ok && x.Measured {
			js = append(js, x)
		}
	}
	return js
}

// Step is what the deviations of characteristic c are worth rounding to: a power of ten of a millimetre, what
// the gauges earn, what target and limits have, and finer where a rounded deviation would fall on the other
// side of a limit than the exact one.
func (j Judged) Step(c CharID) length.Length { return j.steps[c] }

func (j Judged) deviationStep(c Characteristic) length.Length {
	js := j.Measured(c.ID)
	s := min(max(ExactStep(c.Nominal), length.Millimetre/10), ExactStep(c.Lower), ExactStep(c.Upper))
	for _, x := range js {
		if g, ok := j.Gauge(x.Dev.Gauge); ok {
			s = min(s, ReadStep(g.Resolution, x.Dev.Readings))
		}
	}
	for s > length.Nanometre && contradicts(c, js, s) {
		s /= 10
	}
	return s
}

func contradicts(c Characteristic, js []Judgement, step length.Length) bool {
	for _, j := range js {
		r := j.Dev.Dev.Round(step, length.TieEven)
		if (r > c.Upper) != (j.Dev.Dev > c.Upper) || (r < c.Lower) != (j.Dev.Dev < c.Lower) {
			return true
		}
	}
	return false
}

// ExactStep is the coarsest step, a millimetre or a power of ten below, that shows l exactly.
func ExactStep(l length.Length) length.Length {
	s := length.Millimetre
	for l%s != 0 {
		s /= 10
	}
	return s
}

// ReadStep is the step that a value earns: the gauge's resolution for a single reading, and for a mean what
// stays no finer than a tenth of it; always a power of ten of a millimetre.
func ReadStep(resolution length.Length, readings int) length.Length {
	for s := length.Millimetre; s > length.Nanometre; s /= 10 {
		if readings <= 1 && s <= resolution || readings > 1 && s/10 < (resolution+9)/10 {
			return s
		}
	}
	return length.Nanometre
}

// Findings are what all ribs of a batch say together, each worked out once.
type Findings struct {
	Drifts  []Drift       // of tip-to-tip and crown height as the ribs came off the jig, in the order of the round
	Moved   *DriftFinding // nil while no change of the jig is found
	Quiet   words.Finding // what stands in the place of a change that was not found
	Fits    []Capability  // of characteristics measured on two ribs or more
	Proofs  []Proof
	Studies []StudyFound // of the gauges, those finished
}

// StudyFound is a finished gauge study with its result, or why it has none.
type StudyFound struct {
	Study
	Gauge  Gauge
	Result StudyResult
	Err    error
}

// Findings works out what the ribs say together.
func (b Batch) Findings() Findings {
	bent := b.Bent()
	f := Findings{Quiet: DriftQuiet(b.Target, bent), Proofs: b.Proofs()}
	if m, ok := FindDrift(b.Target, bent); ok {
		f.Moved = &m
	}
	for _, c := range b.Target.Round {
		if c.Kind == TipToTip || c.Kind == CrownHeight {
			f.Drifts = append(f.Drifts, NewDrift(b.Target, bent, c.ID))
		}
		if p := NewCapability(b.Target, bent, c.ID, b.Decision); p.N >= 2 {
			f.Fits = append(f.Fits, p)
		}
	}
	for _, s := range b.Studies {
		if !s.Finished {
			continue
		}
		x := StudyFound{Study: s}
		if g, ok := b.Gauge(s.Gauge); !ok {
			x.Err = fmt.Errorf("report on %s: gauge %q is not in batch %q", s.ID, s.Gauge, b.ID)
		} else {
			x.Gauge = g
			x.Result, x.Err = s.Result(g)
		}
		f.Studies = append(f.Studies, x)
	}
	return f
}

// GuardFactor is how many standard uncertainties the rule takes off each limit, to three decimals: the one-sided
// normal quantile of its confidence, 0 for the plain rule.
func (d Decision) GuardFactor() string {
	if d.Rule != Proven {
		return "0"
	}
	return Guard(float64(length.Millimetre), d.Confidence, math.Inf(1)).Text(length.MM, length.Micrometre)
}

// TagLegs names the legs that the tag of a confirmed pair ties, A-B for leg A of the left rib with leg B of the
// right one: those that stand on one side, in the run order where there is one.
func (b Batch) TagLegs(p PairOf) string {
	turned := false
	if b.Order != nil {
		for _, s := range b.Order.Stands {
			turned = turned || s.A == p.A && s.Turned
		}
	}
	left, right := TagLegs(p.Flip, turned)
	return fmt.Sprintf("leg %c, leg %c", left, right)
}
