package arch

import "math"

// RadiusFromTip is the radius whose tip-to-tip is tip, for a known arc and leg. T falls from the bar
// length (straight) to -2 leg (a full turn) without turning back, so the answer is unique; a tip-to-tip
// outside that range is refused.
func RadiusFromTip(tip, leg, arc float64) (float64, error) {
	if err := firstError(CheckNotNegative("leg_mm", leg), CheckPositive("arc_mm", arc), CheckFinite("tip_to_tip_mm", tip)); err != nil {
		return 0, err
	}
	if tip >= (arc+2*leg)*(1-1e-12) {
		return 0, Refuse("out_of_range", "tip_to_tip_mm", "is %g, not less than the %g of the straight bar", tip, arc+2*leg)
	}
	if tip < -2*leg-1e-9 {
		return 0, Refuse("out_of_range", "tip_to_tip_mm", "is %g: the arc would be more than a full turn", tip)
	}
	phi := zero(func(p float64) float64 { t, _ := shape(arc, leg, p); return t - tip }, 0, math.Pi)
	if phi < 1e-7 {
		return 0, Refuse("out_of_range", "tip_to_tip_mm", "is %g: the bar is as good as straight and has no radius", tip)
	}
	return arc / (2 * phi), nil
}

// Fit is a rib fitted to a measured tip-to-tip and crown height. Residuals are measured minus fitted, mm.
type Fit struct {
	Shape
	U             float64 // standard uncertainty of the fitted radius, mm
	ResidualTip   float64
	ResidualCrown float64
	RadiusFromTip float64 // from the tip-to-tip alone
	CrownGap      float64 // measured crown height minus the one that RadiusFromTip gives
	GapLimit      float64 // 2 sqrt(uH^2 + (dH/dT uT)^2): a larger gap is a blunder or a flat or peaked crown
}

// GapSeen says whether the crown gap is larger than the readings' uncertainty explains.
func (f Fit) GapSeen() bool { return math.Abs(f.CrownGap) > f.GapLimit }

// FitRadius finds the radius that minimises ((T - T(R))/uT)^2 + ((H - H(R))/uH)^2 for a known arc and leg.
func FitRadius(tip, crown, leg, arc, uTip, uCrown float64) (Fit, error) {
	if err := firstError(CheckPositive("u_tip_mm", uTip), CheckPositive("u_crown_mm", uCrown),
		CheckFinite("crown_height_mm", crown)); err != nil {
		return Fit{}, err
	}
	rt, err := RadiusFromTip(tip, leg, arc)
	if err != nil {
		return Fit{}, err
	}
	if err := checkReach(tip, crown, leg, arc); err != nil {
		return Fit{}, err
	}
	cost := func(p float64) float64 {
		t, h := shape(arc, leg, p)
		return sq((t-tip)/uTip) + sq((h-crown)/uCrown)
	}
	// The cost may have a second dip where H turns; a scan finds the deeper one before refining.
	const steps = 256
	best, lo := math.Inf(1), 0
	for i := 1; i < steps; i++ {
		if c := cost(math.Pi * float64(i) / steps); c < best {
			best, lo = c, i
		}
	}
	phi := lowest(cost, math.Pi*float64(lo-1)/steps, math.Pi*float64(lo+1)/steps)
	phi = polish(phi, arc, leg, tip, crown, uTip, uCrown)
	if phi < 1e-7 {
		return Fit{}, Refuse("out_of_range", "tip_to_tip_mm", "is %g: the bar is as good as straight and has no radius", tip)
	}
	f := Fit{Shape: Shape{Radius: arc / (2 * phi), Leg: leg, Arc: arc}, RadiusFromTip: rt}
	f.ResidualTip, f.ResidualCrown = tip-f.TipToTip(), crown-f.CrownHeight()
	f.U = 1 / math.Sqrt(sq(f.TipByRadius()/uTip)+sq(f.CrownByRadius()/uCrown))
	byTip := Shape{Radius: rt, Leg: leg, Arc: arc}
	f.CrownGap = crown - byTip.CrownHeight()
	f.GapLimit = 2 * math.Hypot(uCrown, byTip.CrownByRadius()/byTip.TipByRadius()*uTip)
	return f, nil
}

// polish takes a few Gauss-Newton steps: golden section cannot see below the square root of the precision.
func polish(phi, arc, leg, tip, crown, uTip, uCrown float64) float64 {
	for range 8 {
		const d = 1e-5
		t, h := shape(arc, leg, phi)
		t1, h1 := shape(arc, leg, phi+d)
		t0, h0 := shape(arc, leg, phi-d)
		jt, jh := (t1-t0)/(2*d)/uTip, (h1-h0)/(2*d)/uCrown
		rt, rh := (tip-t)/uTip, (crown-h)/uCrown
		n := jt*jt + jh*jh
		// Where both slopes vanish the minimum is as found.
		if n == 0 {
			return phi
		}
		// The full Hessian matters when the residuals are large: a Newton step on the gradient.
		ht, hh := (t1-2*t+t0)/(d*d)/uTip, (h1-2*h+h0)/(d*d)/uCrown
		if full := n - rt*ht - rh*hh; full > n/4 {
			n = full
		}
		step := (jt*rt + jh*rh) / n
		if math.Abs(step) > 0.01 || phi+step <= 0 || phi+step > math.Pi {
			return phi
		}
		phi += step
		if math.Abs(step) < 1e-15 {
			break
		}
	}
	return phi
}

// checkReach refuses readings that no half bar can span: the crown mark and a tip are never farther
// apart than the bar between them, and the crown of an arch stands above its tip line.
func checkReach(tip, crown, leg, arc float64) error {
	half := arc/2 + leg
	if crown <= 0 || crown > half {
		return Refuse("out_of_range", "crown_height_mm", "is %g; with %g of bar on each side it lies between 0 and that", crown, half)
	}
	if c := math.Hypot(tip/2, crown); c > half*(1+1e-9) {
		return Refuse("out_of_range", "crown_height_mm",
			"is %g with a tip-to-tip of %g: crown and tip would be %g apart on a half bar of %g", crown, tip, c, half)
	}
	return nil
}
