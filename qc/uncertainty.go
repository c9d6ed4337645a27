package qc

import (
	"math"

	"springline/qc/length"
)

// Conditions are what the maker states about the bench while measuring.
type Conditions struct {
	// TemperatureHalfWidthK is how far bar and tape may be from 20 C or from each other, in kelvin,
	// where no temperature was read.
	TemperatureHalfWidthK float64
	// FaceHalfWidth is the doubt about which face was taken, zero when the face is certain.
	FaceHalfWidth length.Length
}

// DefaultConditions are those of a bench outdoors in mild weather; 5 K is common practice, no source.
var DefaultConditions = Conditions{TemperatureHalfWidthK: 5}

// alphaSteel is the linear expansion of steel per kelvin, bar and tape alike, from memory (EN 1993
// gives 12e-6, steel tapes are made for about 11.5e-6).
const alphaSteel = 11.5e-6

// Budget is the standard uncertainty of one measured characteristic by parts, in nanometres
// (JCGM 100:2008, 4.3 and 5.1.2: rectangular parts divided by the root of 3, combined as root sum of
// squares).
type Budget struct {
	Limit       float64 // gauge's permissible error / sqrt 3
	Resolution  float64 // resolution / sqrt 12
	Band        float64 // friction half-band / sqrt 3
	Temperature float64
	Face        float64
}

// Combined is the standard uncertainty in nanometres.
func (b Budget) Combined() float64 {
	return math.Sqrt(b.Limit*b.Limit + b.Resolution*b.Resolution + b.Band*b.Band + b.Temperature*b.Temperature + b.Face*b.Face)
}

// NewBudget weighs a measurement of about the length at, made with gauge g with a friction half-band.
// The permissible error does not shrink with repeated readings: all of them share it.
func NewBudget(g Gauge, at, halfBand length.Length, c Conditions) Budget {
	root3 := math.Sqrt(3)
	l := float64(magnitude(at))
	dt := c.TemperatureHalfWidthK / root3
	return Budget{
		Limit:       float64(g.PermissibleError(at)) / root3,
		Resolution:  float64(g.Resolution) / math.Sqrt(12),
		Band:        float64(halfBand) / root3,
		Temperature: l * alphaSteel * dt * math.Sqrt2,
		Face:        float64(c.FaceHalfWidth) / root3,
	}
}
