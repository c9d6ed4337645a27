package qc

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"springline/qc/length"
)

// Rule is a decision rule: how measurement uncertainty counts at a limit.
type Rule string

const (
	// Proven accepts only where conformity is proven at the stated confidence and rejects only where
	// the opposite is: the limits move by z(confidence) u, z one-sided (ISO 14253-1:2017; the guard
	// band of JCGM 106:2012, clause 8).
	Proven Rule = "proven"
	// Plain compares the measured value with the limits and lets uncertainty fall where it may
	// (simple acceptance, JCGM 106:2012, 8.2). Printed as such.
	Plain Rule = "plain"
)

// DefaultConfidence is the confidence of the proven rule (ISO 14253-1:2017, default 95 %).
const DefaultConfidence = 0.95

// Lane is where one value falls against its limits.
type Lane string

// A value is inside, outside, or too near a limit to prove either.
const (
	LaneIn     Lane = "in"
	LaneOut    Lane = "out"
	LaneUnsure Lane = "unsure"
)

// Conformity is the probability that the true value lies within [lower, upper] when y was measured
// with standard uncertainty u > 0 and nothing else is known of it (JCGM 106:2012, clause 7, flat
// prior). A limit that does not exist is an infinity. All four share one unit.
func Conformity(y, u, lower, upper float64) float64 {
	n := distuv.UnitNormal
	below := func(limit float64) float64 {
		if math.IsInf(limit, 0) {
			if limit > 0 {
				return 1
			}
			return 0
		}
		return n.CDF((limit - y) / u)
	}
	if math.IsInf(lower, -1) {
		return below(upper)
	}
	if math.IsInf(upper, 1) {
		return n.CDF((y - lower) / u)
	}
	// The nearer tail is taken first so that no digits are lost where the probability is tiny.
	if y-lower < upper-y {
		return n.CDF((y-lower)/u) - n.CDF((y-upper)/u)
	}
	return n.CDF((upper-y)/u) - n.CDF((lower-y)/u)
}

// Guard is the one-sided width z(confidence) u by which a limit moves, as whole nanometres rounded up,
// against whoever makes the claim.
func Guard(u, confidence float64) length.Length {
	return length.Length(math.Ceil(distuv.UnitNormal.Quantile(confidence) * u))
}

// Decide places a deviation against inclusive limits. Guard is zero for the plain rule.
func Decide(dev, lower, upper, guard length.Length) Lane {
	switch {
	case dev >= lower+guard && dev <= upper-guard:
		return LaneIn
	case dev < lower-guard || dev > upper+guard:
		return LaneOut
	default:
		return LaneUnsure
	}
}

// CannotProveError says that a gauge is too coarse for a tolerance.
type CannotProveError struct {
	Char       CharID
	Gauge      string
	U          length.Length // standard uncertainty
	Guard      length.Length
	HalfWidth  length.Length
	Confidence float64
}

func (e *CannotProveError) Error() string {
	return fmt.Sprintf("gauge %q cannot prove %s: its uncertainty at %.0f %% takes %s mm off each side of a tolerance of +-%s mm; use a finer gauge, lift and relay with less friction, or widen the tolerance",
		e.Gauge, e.Char, 100*e.Confidence, e.Guard.Text(length.MM, 10*length.Micrometre), e.HalfWidth)
}
