package bend

import (
	"math"

	"springline/qc/arch"
)

// Rectangle is a beam of rectangular section, elastic and perfectly plastic: the textbook case, kept to
// show what the sheet formula costs on a round bar and to check the method. mm, MPa.
type Rectangle struct{ Width, Depth, Modulus, Yield float64 }

// YieldMoment is fy b h^2/6, N mm.
func (r Rectangle) YieldMoment() float64 { return r.Yield * r.Width * sq(r.Depth) / 6 }

// PlasticMoment is fy b h^2/4, N mm.
func (r Rectangle) PlasticMoment() float64 { return 1.5 * r.YieldMoment() }

// RectangleState is a rectangle under a moment: half depth of its elastic core, and centreline radii
// under load and after release, mm.
type RectangleState struct{ CoreHalfDepth, Loaded, Released float64 }

// UnderMoment loads a rectangle past yield: M = (3/2) My (1 - yY^2/(3 c^2)) with c half the depth
// (Beer and Johnston), radius E yY/fy, then an elastic release.
func (r Rectangle) UnderMoment(m float64) (RectangleState, error) {
	my := r.YieldMoment()
	if !(m > my && m < 1.5*my) {
		return RectangleState{}, arch.Refuse("out_of_range", "moment_nmm", "is %g; it must lie between the yield moment %g and the plastic moment %g", m, my, 1.5*my)
	}
	c := r.Depth / 2
	s := RectangleState{CoreHalfDepth: c * math.Sqrt(3*(1-m/(1.5*my)))}
	s.Loaded = r.Modulus * s.CoreHalfDepth / r.Yield
	inertia := r.Width * cube(r.Depth) / 12
	s.Released = 1 / (1/s.Loaded - m/(r.Modulus*inertia))
	return s, nil
}

// SheetRatio is loaded over released radius by the sheet formula 4 x^3 - 3 x + 1, x = R fy/(E t)
// (Gardiner 1957). It is not for round bars: there it promises too little springback.
func SheetRatio(loaded, thickness, yield, modulus float64) float64 {
	x := loaded * yield / (modulus * thickness)
	if x >= 0.5 {
		return 0
	}
	return 4*cube(x) - 3*x + 1
}

// Shortcut is a rule of thumb with the released radius that it would really give.
type Shortcut struct {
	Name     string
	Jig      float64 // centreline radius on the jig that the rule asks for, mm
	Released float64 // what the bar does on it, mm; 0 if it springs straight
	Straight bool
}

// Shortcuts works out what the common rules would cost for a wanted released radius: halving it, the
// sheet formula, and subtracting the curvature lost in the limit of a tight bend.
func (b Bar) Shortcuts(wanted float64) ([]Shortcut, error) {
	exact, err := b.Jig(wanted)
	if err != nil {
		return nil, err
	}
	sheet := b.sheetJig(wanted)
	out := []Shortcut{
		{Name: "exact", Jig: exact.Loaded},
		{Name: "halve the radius", Jig: wanted / 2},
		{Name: "sheet formula", Jig: sheet},
		{Name: "subtract curvatures", Jig: 1 / (1/wanted + 16/(3*math.Pi)*b.YieldCurvature())},
	}
	for i := range out {
		if k := b.Released(1 / out[i].Jig); k > 0 {
			out[i].Released = 1 / k
		} else {
			out[i].Straight = true
		}
	}
	return out, nil
}

// sheetJig inverts the sheet formula by bisection: R (4x^3 - 3x + 1)^-1 = wanted.
func (b Bar) sheetJig(wanted float64) float64 {
	lo, hi := 0.0, b.Modulus*b.Diameter/(2*b.Yield)
	for range 100 {
		r := (lo + hi) / 2
		if q := SheetRatio(r, b.Diameter, b.Yield, b.Modulus); q > 0 && r/q < wanted {
			lo = r
		} else {
			hi = r
		}
	}
	return lo
}
