package stats

import (
	"math"
)

// Grubbs is a test for one outlier.
type Grubbs struct {
	G, Critical float64
	Index       int // 0-based, the suspect
	Reject      bool
}

// GrubbsTest tests the largest, the smallest or the farthest value ("max", "min", "both") of at least
// three at significance alpha (Grubbs 1969; NIST/SEMATECH e-Handbook 1.3.5.17.1). A rejected value is
// only suspect: it goes with a written cause or stays.
func GrubbsTest(x []float64, alpha float64, side string) (Grubbs, error) {
	if err := firstError(checkData("x", x, 3), checkFraction("alpha", alpha)); err != nil {
		return Grubbs{}, err
	}
	m, s := mean(x), sd(x)
	if !(s > 0) {
		return Grubbs{}, refuse(NoSpread, "x", "all values are equal; none stands out")
	}
	n := float64(len(x))
	tails := n
	distance := func(v float64) float64 { return v - m }
	switch side {
	case "max":
	case "min":
		distance = func(v float64) float64 { return m - v }
	case "both":
		tails = 2 * n
		distance = func(v float64) float64 { return math.Abs(v - m) }
	default:
		return Grubbs{}, refuse(BadChoice, "side", "is %q; choose max, min or both", side)
	}
	g := Grubbs{G: math.Inf(-1)}
	for i, v := range x {
		if d := distance(v) / s; d > g.G {
			g.G, g.Index = d, i
		}
	}
	t := tTailQuantile(alpha/tails, n-2)
	// t may be beyond the squares that fit; its limit is (n-1)/sqrt n.
	g.Critical = (n - 1) / math.Sqrt(n) / math.Sqrt(1+(n-2)/t/t)
	g.Reject = g.G > g.Critical
	return g, nil
}

// FarOut returns the 0-based indexes of values farther from the median than 3.5 robust standard
// deviations, |x - median| / (1.4826 MAD) (Iglewicz and Hoaglin 1993, from memory). The MAD counts as at
// least the resolution, so that equal readings flag nothing finer than the gauge can show.
func FarOut(x []float64, resolution float64) ([]int, error) {
	if err := firstError(checkData("x", x, 3), checkPositive("resolution", resolution)); err != nil {
		return nil, err
	}
	mid := median(x)
	off := make([]float64, len(x))
	for i, v := range x {
		off[i] = math.Abs(v - mid)
	}
	scale := 1.4826 * math.Max(median(off), resolution)
	far := []int{}
	for i, d := range off {
		if d > 3.5*scale {
			far = append(far, i)
		}
	}
	return far, nil
}

// Repeats is what a set of readings of one thing comes to.
type Repeats struct {
	Value        float64
	Range, Limit float64
	Agree        bool
	Median       bool // Value is the median because the readings do not agree
}

// FromRepeats checks 2 to 100 readings against the critical range for a repeatability standard
// deviation sr at 95 % (ISO 5725-6, 5.2.2): within it the mean counts, beyond it take more readings; at four or
// more that still do not agree the median is the value, and is flagged.
func FromRepeats(x []float64, sr float64) (Repeats, error) {
	if err := firstError(checkData("x", x, 2), checkPositive("sr", sr)); err != nil {
		return Repeats{}, err
	}
	f, err := CriticalRange(len(x), 0.95)
	if err != nil {
		return Repeats{}, err
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, v := range x {
		lo, hi = math.Min(lo, v), math.Max(hi, v)
	}
	r := Repeats{Value: mean(x), Range: hi - lo, Limit: f * sr}
	r.Agree = r.Range <= r.Limit
	if !r.Agree && len(x) >= 4 {
		r.Value, r.Median = median(x), true
	}
	return r, nil
}
