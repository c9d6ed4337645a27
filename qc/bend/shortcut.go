package bend

import "math"

// sheetRatio is loaded over released radius by the sheet formula 4 x^3 - 3 x + 1, x = R fy/(E t)
// (Gardiner 1957). It is not for round bars: there it promises too little springback.
func sheetRatio(loaded, thickness, yield, modulus float64) float64 {
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
		if q := sheetRatio(r, b.Diameter, b.Yield, b.Modulus); q > 0 && r/q < wanted {
			lo = r
		} else {
			hi = r
		}
	}
	return lo
}
