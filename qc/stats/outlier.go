package stats

import (
	"math"
)

// Grubbs is a test for one outlier.
type Grubbs struct {
	G        float64 `json:"g" doc:"distance of the suspect from the mean in standard deviations"`
	Critical float64 `json:"critical" doc:"what g must exceed"`
	Index    int     `json:"index" doc:"0-based index of the suspect"`
	Reject   bool    `json:"reject" doc:"whether g exceeds critical"`
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
