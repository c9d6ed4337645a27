package arch

import "math"

// TwoRadius is a rib whose arc has one curvature round the crown and another at both shoulders.
type TwoRadius struct {
	Leg, Arc  float64
	Fraction  float64 // of the arc that belongs to the crown region
	Crown     float64 // curvature of the crown region, 1/mm
	Shoulders float64 // curvature of the two shoulders, 1/mm
}

// Angle is the total turn of the arc, rad.
func (t TwoRadius) Angle() float64 {
	return t.Arc * (t.Fraction*t.Crown + (1-t.Fraction)*t.Shoulders)
}

// TipAndCrown gives tip-to-tip and crown height.
func (t TwoRadius) TipAndCrown() (tip, crown float64) {
	p := walk(0, 0, 0, t.Crown, t.Arc*t.Fraction/2)
	p = walk(p.X, p.Y, p.Heading, t.Shoulders, t.Arc*(1-t.Fraction)/2)
	s, c := math.Sincos(p.Heading)
	return 2 * (p.X + t.Leg*c), p.Y + t.Leg*s
}

// SplitRadius finds the two curvatures that give a measured tip-to-tip and crown height. With readings
// uncertain by more than a few mm the split is noise: see [Split.Seen].
func SplitRadius(tip, crown, leg, arc, fraction float64) (TwoRadius, error) {
	if err := firstError(CheckPositive("crown_fraction", fraction), CheckFinite("crown_height_mm", crown)); err != nil {
		return TwoRadius{}, err
	}
	if fraction >= 1 {
		return TwoRadius{}, Refuse("out_of_range", "crown_fraction", "is %g; it must be less than one", fraction)
	}
	r, err := RadiusFromTip(tip, leg, arc)
	if err != nil {
		return TwoRadius{}, err
	}
	if err := checkReach(tip, crown, leg, arc); err != nil {
		return TwoRadius{}, err
	}
	t := TwoRadius{Leg: leg, Arc: arc, Fraction: fraction, Crown: 1 / r, Shoulders: 1 / r}
	miss := func(t TwoRadius) (float64, float64) {
		a, b := t.TipAndCrown()
		return a - tip, b - crown
	}
	size := arc + 2*leg
	d := 1e-6 / arc
	for range 100 {
		et, eh := miss(t)
		if math.Hypot(et, eh) < 1e-12*size {
			return t.checkTurn()
		}
		jt1, jh1, jt2, jh2 := t.slopes(d)
		det := jt1*jh2 - jt2*jh1
		if det == 0 {
			break
		}
		dc, ds := (jh2*et-jt2*eh)/det, (jt1*eh-jh1*et)/det
		// Halve the step until it helps: Newton may overshoot from a poor start.
		step := 1.0
		for ; step > 1e-6; step /= 2 {
			n := t
			n.Crown, n.Shoulders = t.Crown-step*dc, t.Shoulders-step*ds
			nt, nh := miss(n)
			if math.Hypot(nt, nh) < math.Hypot(et, eh) {
				t = n
				break
			}
		}
		if step <= 1e-6 {
			if math.Hypot(et, eh) < 1e-9*size {
				return t.checkTurn()
			}
			break
		}
	}
	return TwoRadius{}, Refuse("no_shape", "crown_height_mm",
		"is %g with a tip-to-tip of %g: no pair of crown and shoulder curvatures gives both", crown, tip)
}

func (t TwoRadius) checkTurn() (TwoRadius, error) {
	if math.Abs(t.Angle()) > 2*math.Pi || math.Abs(t.Crown)*t.Arc*t.Fraction > 2*math.Pi ||
		math.Abs(t.Shoulders)*t.Arc*(1-t.Fraction) > 2*math.Pi {
		tip, crown := t.TipAndCrown()
		return TwoRadius{}, Refuse("no_shape", "crown_height_mm",
			"is %g with a tip-to-tip of %g: the split would turn the bar by more than a full turn", crown, tip)
	}
	return t, nil
}

// slopes are dT/dkc, dH/dkc, dT/dks, dH/dks by central differences of step d.
func (t TwoRadius) slopes(d float64) (jt1, jh1, jt2, jh2 float64) {
	at := func(dc, ds float64) (float64, float64) {
		n := t
		n.Crown, n.Shoulders = t.Crown+dc, t.Shoulders+ds
		return n.TipAndCrown()
	}
	t1, h1 := at(d, 0)
	t0, h0 := at(-d, 0)
	t3, h3 := at(0, d)
	t2, h2 := at(0, -d)
	return (t1 - t0) / (2 * d), (h1 - h0) / (2 * d), (t3 - t2) / (2 * d), (h3 - h2) / (2 * d)
}

// Split is a two-radius shape with what the readings can say about it.
type Split struct {
	TwoRadius
	UCrown, UShoulders float64 // standard uncertainties of the curvatures, 1/mm
	UDifference        float64 // of Crown - Shoulders, 1/mm
	Seen               bool    // the difference exceeds twice its uncertainty; otherwise "cannot tell"
}

// SplitWithUncertainty adds the uncertainty that the readings' own (standard, mm) lead to.
func SplitWithUncertainty(tip, crown, leg, arc, fraction, uTip, uCrown float64) (Split, error) {
	if err := firstError(CheckPositive("u_tip_mm", uTip), CheckPositive("u_crown_mm", uCrown)); err != nil {
		return Split{}, err
	}
	t, err := SplitRadius(tip, crown, leg, arc, fraction)
	if err != nil {
		return Split{}, err
	}
	s := Split{TwoRadius: t}
	a, b, c, d := t.slopes(1e-6 / arc)
	det := a*d - c*b
	if det == 0 {
		return Split{}, Refuse("no_shape", "crown_height_mm", "says nothing about the split at this shape")
	}
	// kc = (d T - c H)/det, ks = (a H - b T)/det in the linear neighbourhood.
	s.UCrown = math.Hypot(d*uTip, c*uCrown) / math.Abs(det)
	s.UShoulders = math.Hypot(b*uTip, a*uCrown) / math.Abs(det)
	s.UDifference = math.Hypot((d+b)*uTip, (c+a)*uCrown) / math.Abs(det)
	s.Seen = math.Abs(t.Crown-t.Shoulders) > 2*s.UDifference
	return s, nil
}
