package qc

import (
	"math"

	"springline/qc/length"
	"springline/qc/stats"
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

// Factor is how many standard uncertainties a limit moves so that a claim holds with a one-sided confidence:
// the quantile of Student's t on dof effective degrees of freedom, which for +Inf is z of the normal
// distribution (JCGM 106:2012, clause 8; JCGM 100:2008, G.3). Confidence lies between 0 and 1.
func Factor(confidence, dof float64) float64 { return stats.TQuantile(confidence, dof) }

// Guard is Factor times u, as whole nanometres rounded up, against whoever makes the claim.
func Guard(u, confidence, dof float64) length.Length {
	return length.Length(math.Ceil(Factor(confidence, dof) * u))
}

// Decide places a value against inclusive limits, which are infinite where there are none. Guard is zero for
// the plain rule. All four are in one unit: whole nanometres at the bench, anything in a script.
func Decide[N ~int64 | ~float64](v, lower, upper, guard N) Lane {
	switch {
	case v >= lower+guard && v <= upper-guard:
		return LaneIn
	case v < lower-guard || v > upper+guard:
		return LaneOut
	default:
		return LaneUnsure
	}
}
