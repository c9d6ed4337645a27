package arch

import "math"

// radiusFromChord is the radius of one half of a rib from the straight distance between its crown mark
// and its tip: c^2 = 2 R^2 (1 - cos phi) + 2 R l sin phi + l^2 with phi = s/(2R). The chord falls steadily as the
// bar tightens to a full turn, so the answer is unique. Field names the chord in errors.
func radiusFromChord(field string, chord, leg, arc float64) (float64, error) {
	if err := firstError(CheckPositive(field, chord), CheckNotNegative("leg_mm", leg), CheckPositive("arc_mm", arc)); err != nil {
		return 0, err
	}
	h := arc / 2
	if chord >= (h+leg)*(1-1e-12) {
		return 0, Refuse("out_of_range", field, "is %g, not less than the %g of a straight half bar", chord, h+leg)
	}
	f := func(p float64) float64 {
		return sq(h*sinc(p/2)) + 2*h*leg*sinc(p) + leg*leg - chord*chord
	}
	if f(math.Pi) > 0 {
		return 0, Refuse("out_of_range", field, "is %g: the arc would be more than a full turn", chord)
	}
	phi := zero(f, 0, math.Pi)
	if phi < 1e-7 {
		return 0, Refuse("out_of_range", field, "is %g: the half bar is as good as straight and has no radius", chord)
	}
	return h / phi, nil
}

// Lean compares the two halves of a rib.
type Lean struct {
	RadiusA, RadiusB float64 // mm
	UA, UB           float64 // standard uncertainties, mm
	Difference       float64 // RadiusA - RadiusB, mm
	Seen             bool    // |chord A - chord B| exceeds 2 sqrt(2) u: the halves differ
}

// LeanFromChords solves both halves. uChord is the standard uncertainty of one chord, mm. A difference
// beyond 2 sqrt(2) u means that the bar slipped along the jig or that one side was pulled less.
func LeanFromChords(chordA, chordB, leg, arc, uChord float64) (Lean, error) {
	if err := CheckNotNegative("u_chord_mm", uChord); err != nil {
		return Lean{}, err
	}
	ra, err := radiusFromChord("chord_a_mm", chordA, leg, arc)
	if err != nil {
		return Lean{}, err
	}
	rb, err := radiusFromChord("chord_b_mm", chordB, leg, arc)
	if err != nil {
		return Lean{}, err
	}
	l := Lean{RadiusA: ra, RadiusB: rb, Difference: ra - rb}
	l.UA, l.UB = uChord/chordByRadius(ra, leg, arc), uChord/chordByRadius(rb, leg, arc)
	l.Seen = math.Abs(chordA-chordB) > 2*math.Sqrt2*uChord
	return l, nil
}

func chordByRadius(r, leg, arc float64) float64 {
	c := func(r float64) float64 { return Shape{r, leg, arc}.HalfChord() }
	d := r * 1e-5
	return math.Max((c(r+d)-c(r-d))/(2*d), 1e-12)
}
