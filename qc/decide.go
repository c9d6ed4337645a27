package qc

import (
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
