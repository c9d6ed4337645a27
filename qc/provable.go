package qc

import (
	"fmt"
	"strings"

	"springline/qc/length"
	"springline/qc/words"
)

// CannotProveError says that a gauge is too coarse for a tolerance, and what would do.
type CannotProveError struct {
	Char       CharID
	Gauge      string
	U          length.Length // standard uncertainty
	Guard      length.Length
	HalfWidth  length.Length
	Confidence float64
	Biggest    string   // name of the largest part of the uncertainty
	Would      []string // what would prove it, each enough by itself
}

func (e *CannotProveError) Error() string {
	return fmt.Sprintf("gauge %q cannot prove %s: its uncertainty at %.0f %% takes %s mm off each "+
		"side of a tolerance of ±%s mm, most of it from the %s; what would: %s",
		e.Gauge, e.Char, 100*e.Confidence, e.Guard.Text(length.MM, 10*length.Micrometre), e.HalfWidth, e.Biggest, strings.Join(e.Would, "; or "))
}

// CheckProvable refuses a target whose tolerances the gauges could not prove, before the first rib:
// for every characteristic of the round some gauge bound to its kind must leave a pass zone under the
// rule. The error is a *CannotProveError for the best gauge there is.
func (t Target) CheckProvable(gauges []Gauge, how Decision) error {
	for _, c := range t.Round {
		g, covered := bestGauge(c, gauges, how)
		if !covered {
			return &TargetError{Field: string(c.ID), Reason: fmt.Sprintf("no gauge is bound to %s; bind one or take it out of the round", c.Kind)}
		}
		if err := provable(c, g, how); err != nil {
			return err
		}
	}
	return nil
}

// expected is the budget of a measurement of c on target, before any was made.
func expected(c Characteristic, g Gauge, how Decision) Budget {
	return NewBudget(g, how.Conditions.use(c.Nominal, c.Band, c.Repeats, Temperatures{}))
}

// bestGauge is the gauge bound to c with the least uncertainty.
func bestGauge(c Characteristic, gauges []Gauge, how Decision) (best Gauge, covered bool) {
	for _, g := range gauges {
		if g.Covers(c.Kind) && (!covered || expected(c, g, how).Combined() < expected(c, best, how).Combined()) {
			best, covered = g, true
		}
	}
	return best, covered
}

// provable returns a *CannotProveError where the guard leaves no pass zone.
func provable(c Characteristic, g Gauge, how Decision) error {
	if how.Rule != Proven {
		return nil
	}
	b := expected(c, g, how)
	guard := how.guard(b)
	if guard < c.HalfWidth() {
		return nil
	}
	return &CannotProveError{
		Char: c.ID, Gauge: g.ID, U: length.Length(b.Combined()), Guard: guard, HalfWidth: c.HalfWidth(), Confidence: how.Confidence,
		Biggest: b.Shares()[0].Name, Would: remedies(c, g, how, c.HalfWidth()-1),
	}
}

// maxRepeats is the most readings that a characteristic may ask for.
const maxRepeats = 10

// remedies are the single changes that bring the guard to most at most, weighed with the same budget as the
// verdict, and always the tolerance that would do.
func remedies(c Characteristic, g Gauge, how Decision, most length.Length) []string {
	guard := func(c Characteristic, g Gauge) length.Length {
		return how.guard(expected(c, g, how))
	}
	var list []string
	if g.Kind == Tape && (g.Class != "I" || g.EndFace) {
		fine := g
		fine.Class, fine.EndFace = "I", false
		if w := guard(c, fine); w <= most {
			list = append(list, fmt.Sprintf("a class I tape read from a scribed zero (it takes off %s mm)", words.AtLeast(w, tenthMM)))
		}
	}
	for step := g.Resolution / 2; step >= g.Resolution/10 && step > 0; step /= 2 {
		fine := g
		fine.Resolution = step
		if guard(c, fine) <= most {
			list = append(list, fmt.Sprintf("reading to %s mm", step))
			break
		}
	}
	for n := c.Repeats + 1; n <= maxRepeats && g.RepeatSD > 0; n++ {
		more := c
		more.Repeats = n
		if guard(more, g) <= most {
			list = append(list, fmt.Sprintf("the mean of %d readings", n))
			break
		}
	}
	if w, ok := slackest(c, g, how, most); ok && w < c.Band {
		list = append(list, fmt.Sprintf("a rib that rests within ±%s mm however it is laid (rollers or a waxed board under it)",
			words.AtMost(w, tenthMM)))
	}
	if len(list) == 0 && g.Kind != Tape {
		list = append(list, "a finer gauge")
	}
	return append(list, fmt.Sprintf("a tolerance of at least ±%s mm", words.AtLeast(guard(c, g)+1, tenthMM)))
}

// slackest is the widest friction half-band with which the guard stays within most.
func slackest(c Characteristic, g Gauge, how Decision, most length.Length) (length.Length, bool) {
	fits := func(band length.Length) bool {
		c.Band = band
		return how.guard(expected(c, g, how)) <= most
	}
	if !fits(100 * length.Micrometre) {
		return 0, false
	}
	lo, hi := 100*length.Micrometre, length.Metre
	for hi-lo > length.Micrometre {
		if mid := (lo + hi) / 2; fits(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo, true
}
