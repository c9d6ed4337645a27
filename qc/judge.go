package qc

import (
	"fmt"
	"math"

	"springline/qc/length"
	"springline/qc/stats"
	"springline/qc/words"
)

// Decision is how a batch is judged.
type Decision struct {
	Rule       Rule
	Confidence float64
	Conditions Conditions
}

// DefaultDecision is the proven rule at 95 % in mild weather.
var DefaultDecision = Decision{Rule: Proven, Confidence: DefaultConfidence, Conditions: DefaultConditions}

// Validate refuses a rule that could not be applied.
func (d Decision) Validate() error {
	if d.Rule != Proven && d.Rule != Plain {
		return fmt.Errorf("decision rule %q is not known; use %q or %q", d.Rule, Proven, Plain)
	}
	if !(d.Confidence > 0.5 && d.Confidence < 1) {
		return fmt.Errorf("confidence %v is not between 0.5 and 1; 0.95 is usual", d.Confidence)
	}
	if d.Conditions.TemperatureHalfWidthK < 0 || d.Conditions.TemperatureHalfWidthK > 60 || math.IsNaN(d.Conditions.TemperatureHalfWidthK) {
		return fmt.Errorf("temperature half-width %v K is not between 0 and 60", d.Conditions.TemperatureHalfWidthK)
	}
	return nil
}

// guard is what the proven rule takes off each limit of a value with that budget, with z of the normal
// distribution.
func (d Decision) guard(b Budget) length.Length {
	return Guard(b.Combined(), d.Confidence, math.Inf(1))
}

// GaugeOf finds a gauge by id.
type GaugeOf func(id string) (Gauge, bool)

// JudgeOne places one deviation against the limits of its characteristic.
func JudgeOne(c Characteristic, d Deviation, g Gauge, how Decision) Judgement {
	b := d.budget(g, how.Conditions)
	u := b.Combined()
	j := Judgement{Char: c, Dev: d, Budget: b, U: length.Length(math.Ceil(u)), Measured: true}
	if how.Rule == Proven {
		j.Guard = how.guard(b)
	}
	j.Lane = Decide(d.Dev, c.Lower, c.Upper, j.Guard)
	// It fails without uncertainty or tolerance only, which no valid gauge or target has: nothing is then proven.
	j.Conformity, _ = stats.Conformity(float64(d.Dev), u, float64(c.Lower), float64(c.Upper))
	return j
}

// Judge gives the verdict on a rib in its present round. A characteristic whose gauge is unknown is an
// error: nothing is judged on a guess.
func Judge(t Target, r Rib, gauges GaugeOf, how Decision) (Verdict, error) {
	t = t.ForBar(r.BarLength)
	v := Verdict{Rule: how.Rule, Confidence: how.Confidence, Round: r.Round}
	var open []words.Char
	for _, c := range t.Round {
		d, ok := r.Deviation(c)
		if !ok {
			v.Chars = append(v.Chars, Judgement{Char: c, Skipped: r.SkippedNow(c.ID)})
			open = append(open, words.Char(c.ID))
			continue
		}
		g, ok := gauges(d.Gauge)
		if !ok {
			return Verdict{}, fmt.Errorf("judge rib %q: %s was measured with gauge %q, which is not on record", r.ID, c.Label(), d.Gauge)
		}
		v.Chars = append(v.Chars, JudgeOne(c, d, g, how))
	}
	if len(open) > 0 {
		v.Word, v.Why = Open, words.StillToMeasure{Chars: open}
		return v, nil
	}
	decideWord(&v)
	return v, nil
}

// decideWord needs every characteristic measured. What cannot be bent in goes first, then what is
// proven out, then what is unsure; a pass needs every characteristic in.
func decideWord(v *Verdict) {
	var dead, out, unsure *Judgement
	for i := range v.Chars {
		j := &v.Chars[i]
		switch {
		case j.Lane == LaneOut && !j.Char.Kind.Bendable():
			dead = worse(dead, j)
		case j.Lane == LaneOut:
			out = worse(out, j)
		case j.Lane == LaneUnsure:
			unsure = worse(unsure, j)
		}
	}
	switch {
	case dead != nil:
		v.Word, v.Worst = Reject, dead.Char.ID
		v.Why = outBy(*dead)
	case out != nil:
		v.Word, v.Worst = ReBend, out.Char.ID
		v.Direction = direction(v.Chars)
		v.Why = outBy(*out)
	case unsure != nil:
		v.Word, v.Worst = ReMeasure, unsure.Char.ID
		v.Why = words.NearLimit{Char: words.Char(unsure.Char.ID), Deviation: unsure.Dev.Dev, Guard: unsure.Guard}
	default:
		v.Word = Pass
		least := &v.Chars[0]
		for i := range v.Chars {
			if v.Chars[i].Conformity < least.Conformity {
				least = &v.Chars[i]
			}
		}
		v.Worst = least.Char.ID
		v.Why = words.AllWithin{Chars: len(v.Chars)}
	}
}

// worse keeps the judgement that is further out, measured in half-widths of its own tolerance.
func worse(a, b *Judgement) *Judgement {
	if a == nil || excess(*b) > excess(*a) {
		return b
	}
	return a
}

func excess(j Judgement) float64 {
	over := max(j.Dev.Dev-j.Char.Upper, j.Char.Lower-j.Dev.Dev)
	return float64(over) / float64(max(j.Char.HalfWidth(), 1))
}

// direction is read from the tips: too wide is closed, too narrow opened. With the tips in, a shape
// that is out needs reshaping.
func direction(js []Judgement) Direction {
	for _, j := range js {
		if j.Char.Kind == TipToTip && j.Lane == LaneOut {
			if j.Dev.Dev > 0 {
				return Close
			}
			return OpenUp
		}
	}
	return Reshape
}

func outBy(j Judgement) words.Finding {
	past := j.Dev.Dev - j.Char.Upper
	if past <= 0 {
		past = j.Dev.Dev - j.Char.Lower
	}
	return words.OutOfLimits{Char: words.Char(j.Char.ID), Deviation: j.Dev.Dev, Past: past, NoBending: !j.Char.Kind.Bendable()}
}
