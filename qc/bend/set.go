package bend

import (
	"math"

	"springline/qc/arch"
)

// Onset is where pulling the tips begins to set the rib.
type Onset struct {
	Free                    arch.Shape
	CloseTravel, CloseForce float64 // mm towards each other, N
	OpenTravel, OpenForce   float64 // mm apart, N
}

// Onset finds both elastic limits at large displacements: closing sets once the crown's moment passes
// the one on the jig, opening once it reaches 2 My - Mj.
func (j Job) Onset() (Onset, error) {
	free, err := j.Free()
	if err != nil {
		return Onset{}, err
	}
	return j.onset(free, fine)
}

// Steps over the half arc: fine is exact to nanometres, coarse to a tenth of a millimetre.
const (
	fine   = 180
	coarse = 36
)

func (j Job) onset(free arch.Shape, steps int) (Onset, error) {
	o := Onset{Free: free}
	cl := newPuller(j, 1, steps)
	if 2*cl.my <= cl.mj {
		return Onset{}, arch.Refuse("beyond_model", "hardening_mpa",
			"is %g: this bar yields backwards by its release alone, beyond the section rules here", j.Hardening)
	}
	if free.CrownHeight() <= 0 {
		return Onset{}, arch.Refuse("out_of_range", "arc_mm",
			"is %g: the free rib's crown does not stand above its tip line, so no tip force bends it", j.Arc)
	}
	r, ok := cl.withCrownMoment(cl.mj, cl.mj/free.CrownHeight())
	if !ok {
		return Onset{}, arch.Refuse("beyond_model", "arc_mm", "is %g: no tip force bends this rib to the moment it had on the jig", j.Arc)
	}
	o.CloseTravel, o.CloseForce = free.TipToTip()-r.tip, r.force
	op := newPuller(j, -1, steps)
	if r, ok = op.withCrownMoment(2*op.my-op.mj, (2*op.my-op.mj)/free.CrownHeight()); !ok {
		return Onset{}, arch.Refuse("beyond_model", "arc_mm", "is %g: no tip force opens this rib to its elastic limit", j.Arc)
	}
	o.OpenTravel, o.OpenForce = r.tip-free.TipToTip(), -r.force
	return o, nil
}

// Set is a pull at the tips with what remains of it.
type Set struct {
	Free                      arch.Shape
	Travel                    float64 // mm, positive closes
	TipLoaded, CrownLoaded    float64 // mm
	Force                     float64 // N along the tip line, positive closes
	TipAfter, CrownAfter      float64 // mm after release
	OuterStrain               float64 // largest strain of the surface under load
	LegsYield, LegsCrossed    bool    // under load
	CrownMoment, LegRootShare float64 // N mm; leg-root moment over the yield moment
}

// maxStrain is the largest surface strain for which a pull is computed.
const maxStrain = 0.05

// Pull finds the pull that changes the tip-to-tip by -set after release (positive set closes). It solves
// large displacements exactly for linear kinematic hardening; a set that needs more than 5 % surface
// strain is refused.
func (j Job) Pull(set float64) (Set, error) {
	o, err := j.Onset()
	if err != nil {
		return Set{}, err
	}
	if err := arch.CheckFinite("set_mm", set); err != nil {
		return Set{}, err
	}
	return j.pull(o, set, fine)
}

func (j Job) pull(o Onset, set float64, steps int) (Set, error) {
	free := o.Free
	t0 := free.TipToTip()
	if set == 0 {
		return Set{Free: free, TipLoaded: t0, CrownLoaded: free.CrownHeight(), TipAfter: t0,
			CrownAfter: free.CrownHeight(), OuterStrain: j.Diameter / 2 / free.Radius}, nil
	}
	sign, force := 1.0, o.CloseForce
	if set < 0 {
		sign, force = -1, o.OpenForce
	}
	p := newPuller(j, sign, steps)
	var last pulled
	ok := true
	// The crown's curvature past its elastic limit is the parameter: moment alone saturates.
	at := func(d float64) float64 {
		m := p.Moment(p.kj + d)
		if sign < 0 {
			m = 2*p.Moment(p.ky+d) - p.mj
		}
		r, found := p.withCrownMoment(m, force)
		if !found {
			ok = false
			return math.Inf(1)
		}
		last, force = r, math.Abs(r.force)
		// The set grows like a power of 1.5 to 3 of the parameter; its root is nearly a straight line.
		return math.Sqrt(math.Max(sign*(t0-r.tipAfter)/math.Abs(set), 0)) - 1
	}
	top := maxStrain/(j.Diameter/2) - p.kj
	if sign < 0 {
		top = (maxStrain/(j.Diameter/2)+p.kj)/2 - p.ky
	}
	a, fa := 0.0, -1.0
	b := p.ky / 8
	var fb float64
	for {
		b = math.Min(b, top)
		if top <= 0 {
			ok = false
			break
		}
		if fb = at(b); !ok || fb >= 0 {
			break
		}
		if b >= top {
			ok = false
			break
		}
		a, fa = b, fb
		b *= 1.6
	}
	if !ok {
		return Set{}, arch.Refuse("out_of_range", "set_mm",
			"is %g: it cannot be set by a pull at the tips within the model (5 %% surface strain)", set)
	}
	x := illinois(at, a, fa, b, fb, 1e-8)
	at(x)
	if !ok {
		return Set{}, arch.Refuse("out_of_range", "set_mm", "is %g: it cannot be set by a pull at the tips", set)
	}
	return Set{
		Free: free, Travel: t0 - last.tip, TipLoaded: last.tip, CrownLoaded: last.crown, Force: last.force,
		TipAfter: last.tipAfter, CrownAfter: last.crownAfter, OuterStrain: last.outerStrain,
		LegsYield: last.elasticLimit, LegsCrossed: last.tip < 0, CrownMoment: last.crownMoment,
		LegRootShare: math.Abs(last.legMoment) / p.my,
	}, nil
}
