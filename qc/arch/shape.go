package arch

import "math"

// Shape is a plain rib: a straight leg, a circular arc, the same leg again. All in mm.
type Shape struct {
	Radius float64 `json:"radius_mm" doc:"centreline radius, mm"`
	Leg    float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc    float64 `json:"arc_mm" doc:"arc along the centreline, mm"`
}

// Check refuses a rib that cannot exist: no radius, no arc, or an arc of more than a full turn.
func (r Shape) Check() error {
	if err := firstError(CheckPositive("radius_mm", r.Radius), CheckNotNegative("leg_mm", r.Leg), CheckPositive("arc_mm", r.Arc)); err != nil {
		return err
	}
	if r.Arc > 2*math.Pi*r.Radius*(1+1e-12) {
		return Refuse("out_of_range", "arc_mm", "is %g: more than a full turn at a radius of %g", r.Arc, r.Radius)
	}
	return nil
}

// HalfAngle is half the arc angle in rad: s/(2 R).
func (r Shape) HalfAngle() float64 { return r.Arc / (2 * r.Radius) }

// BarLength is arc plus both legs.
func (r Shape) BarLength() float64 { return r.Arc + 2*r.Leg }

// TipToTip is T = 2 (R sin phi + l cos phi), between the end centres; negative once the legs cross.
func (r Shape) TipToTip() float64 {
	s, c := math.Sincos(r.HalfAngle())
	return 2 * (r.Radius*s + r.Leg*c)
}

// CrownHeight is H = R (1 - cos phi) + l sin phi, from the tip line to the centre of the bar at the crown.
func (r Shape) CrownHeight() float64 {
	phi := r.HalfAngle()
	h := math.Sin(phi / 2)
	return 2*r.Radius*h*h + r.Leg*math.Sin(phi)
}

// TipByRadius is dT/dR at constant arc and leg. It is positive for every arc of less than a full turn.
func (r Shape) TipByRadius() float64 {
	phi := r.HalfAngle()
	s, c := math.Sincos(phi)
	return 2 * (s - phi*c + r.Leg/r.Radius*phi*s)
}

// CrownByRadius is dH/dR at constant arc and leg. It changes sign (near 104 to 134 degrees of half
// angle), which is why a radius is never taken from the crown height alone.
func (r Shape) CrownByRadius() float64 {
	phi := r.HalfAngle()
	s, c := math.Sincos(phi)
	h := math.Sin(phi / 2)
	return 2*h*h - phi*s - r.Leg/r.Radius*phi*c
}

// LegsCross says whether the tips have passed each other.
func (r Shape) LegsCross() bool { return r.TipToTip() < 0 }

// HalfChord is the straight distance from the crown mark to a tip.
func (r Shape) HalfChord() float64 { return math.Hypot(r.TipToTip()/2, r.CrownHeight()) }

// shape gives T and H as functions of the half angle, for an arc and leg that are known. They stay
// smooth down to phi = 0, where the bar is straight.
func shape(arc, leg, phi float64) (tip, crown float64) {
	s, c := math.Sincos(phi)
	return arc*sinc(phi) + 2*leg*c, arc/2*phi/2*sq(sinc(phi/2)) + leg*s
}

// sinc is sin(x)/x.
func sinc(x float64) float64 {
	if math.Abs(x) < 1e-4 {
		return 1 - x*x/6
	}
	return math.Sin(x) / x
}

func sq(x float64) float64 { return x * x }
