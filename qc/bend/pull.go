package bend

import (
	"math"

	"springline/qc/arch"
)

// Job is a rib as it came off the jig: what was bent, how long, and on which loaded radius.
type Job struct {
	Bar
	Loaded float64 `json:"jig_centre_radius_mm" doc:"centreline radius on the jig, mm"`
	Leg    float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc    float64 `json:"arc_mm" doc:"arc along the centreline, mm"`
}

// Free is the geometry of the released rib before any pull. It fails as [Bar.Spring] does.
func (j Job) Free() (arch.Shape, error) {
	if err := j.Bar.Check(); err != nil {
		return arch.Shape{}, err
	}
	for _, err := range []error{arch.CheckPositive("jig_centre_radius_mm", j.Loaded),
		arch.CheckNotNegative("leg_mm", j.Leg), arch.CheckPositive("arc_mm", j.Arc)} {
		if err != nil {
			return arch.Shape{}, err
		}
	}
	if j.Loaded <= j.Diameter/2 {
		return arch.Shape{}, arch.Refuse("out_of_range", "jig_centre_radius_mm",
			"is %g, not more than half the bar's diameter of %g", j.Loaded, j.Diameter)
	}
	if j.Arc > 2*math.Pi*j.Loaded*(1+1e-12) {
		return arch.Shape{}, arch.Refuse("out_of_range", "arc_mm", "is %g: more than a full turn at a radius of %g on the jig", j.Arc, j.Loaded)
	}
	return j.released()
}

// released is Free without a look at the input.
func (j Job) released() (arch.Shape, error) {
	kf := j.Released(1 / j.Loaded)
	if kf*j.Loaded <= 1e-12 {
		return arch.Shape{}, arch.Refuse("springs_straight", "jig_centre_radius_mm",
			"is %g: the bar stays elastic and springs straight; only less than %.1f leaves a set", j.Loaded, 1/j.YieldCurvature())
	}
	return arch.Shape{Radius: 1 / kf, Leg: j.Leg, Arc: j.Arc}, nil
}

// pulled is a rib under a tip force along the tip line. Moments are F h(x): largest at the crown.
type pulled struct {
	force        float64 // N, positive closes
	tip, crown   float64 // under load, mm
	tipAfter     float64 // after release, mm
	crownAfter   float64
	crownMoment  float64 // N mm, positive closes
	legMoment    float64 // at the leg root, N mm, positive closes
	outerStrain  float64 // largest surface strain under load
	elasticLimit bool    // the leg roots have yielded
}

// puller integrates a rib from crown to tip. sign is +1 to close and -1 to open.
type puller struct {
	Job
	sign       float64
	kj, mj, kf float64
	my, ky, ei float64
	steps      int // over the half arc; the leg takes a sixth of it
}

func newPuller(j Job, sign float64, steps int) puller {
	p := puller{Job: j, sign: sign, kj: 1 / j.Loaded, my: j.YieldMoment(), ky: j.YieldCurvature(), ei: j.Stiffness(), steps: steps}
	p.mj, p.kf = j.Moment(p.kj), j.Released(p.kj)
	return p
}

// arcLaw gives curvature under a moment m >= 0 in the direction of the pull, and after its release.
// Closing returns to the virgin curve once m passes the moment on the jig. Opening follows Masing's
// rule from the jig: k = kj - 2 kv((Mj + m)/2). Both are exact for linear kinematic hardening.
func (p *puller) arcLaw(m float64, guess *float64) (k, after float64) {
	if p.sign > 0 {
		if m <= p.mj {
			return p.kf + m/p.ei, p.kf
		}
		*guess = virginInverse(m/p.my, p.e(), *guess)
		k = p.ky * *guess
		return k, k - m/p.ei
	}
	half := (p.mj + m) / 2
	if half <= p.my {
		return p.kf - m/p.ei, p.kf
	}
	*guess = virginInverse(half/p.my, p.e(), *guess)
	k = p.kj - 2*p.ky**guess
	return k, k + m/p.ei
}

// legLaw is that of a straight bar that was never bent.
func (p *puller) legLaw(m float64) (k, after float64) {
	if m <= p.my {
		return p.sign * m / p.ei, 0
	}
	k = p.ky * virginInverse(m/p.my, p.e(), 1)
	return p.sign * k, p.sign * (k - m/p.ei)
}

// state is heading, run from the crown and height above the tip line under load, then heading, run and
// drop from the crown after release.
type state [6]float64

func (p *puller) slope(s state, force float64, leg bool, guess *float64) state {
	m := force * s[2]
	if m < 0 {
		m = 0 // below the tip line only while the shot still misses
	}
	var k, ka float64
	if leg {
		k, ka = p.legLaw(m)
	} else {
		k, ka = p.arcLaw(m, guess)
	}
	sn, cs := math.Sincos(s[0])
	sa, ca := math.Sincos(s[3])
	return state{k, cs, -sn, ka, ca, sa}
}

// shoot integrates from the crown to the tip by the classical fourth-order Runge-Kutta method with a
// crown moment and a force; the height of the tip above the tip line is the miss.
func (p *puller) shoot(crownMoment, force float64) (miss float64, r pulled) {
	h0 := crownMoment / force
	s := state{0, 0, h0, 0, 0, 0}
	guess := 1.5
	step := func(h float64, n int, leg bool) {
		for range n {
			k1 := p.slope(s, force, leg, &guess)
			k2 := p.slope(s.plus(k1, h/2), force, leg, &guess)
			k3 := p.slope(s.plus(k2, h/2), force, leg, &guess)
			k4 := p.slope(s.plus(k3, h), force, leg, &guess)
			for i := range s {
				s[i] += h / 6 * (k1[i] + 2*k2[i] + 2*k3[i] + k4[i])
			}
		}
	}
	step(p.Arc/2/float64(p.steps), p.steps, false)
	root := force * s[2]
	if p.Leg > 0 {
		n := p.steps / 6
		step(p.Leg/float64(n), n, true)
	}
	r = pulled{
		force: p.sign * force, tip: 2 * s[1], crown: h0, tipAfter: 2 * s[4], crownAfter: s[5],
		crownMoment: p.sign * crownMoment, legMoment: p.sign * root, elasticLimit: root > p.my,
	}
	g := 1.5
	k, _ := p.arcLaw(crownMoment, &g)
	r.outerStrain = math.Abs(k) * p.Diameter / 2
	return s[2], r
}

func (s state) plus(d state, h float64) state {
	for i := range s {
		s[i] += h * d[i]
	}
	return s
}

// withCrownMoment finds the force that brings the tips to the tip line. guess is a force to start from.
func (p *puller) withCrownMoment(m, guess float64) (pulled, bool) {
	half := p.Arc/2 + p.Leg
	lo := m / half // the tip cannot fall farther than the half bar is long
	f := func(x float64) float64 { miss, _ := p.shoot(m, x); return miss }
	// A secant from the guess nearly always lands; the bracket below is for the rest.
	// Rounding and the section's own inverse leave a few 1e-11 of the length.
	small := 2e-10 * half
	x0 := math.Max(guess, lo)
	f0, r0 := p.shoot(m, x0)
	if math.Abs(f0) <= small {
		return r0, true
	}
	x1 := x0 * (1 + math.Copysign(1e-3, f0))
	for range 12 {
		f1, r1 := p.shoot(m, x1)
		if math.Abs(f1) <= small {
			return r1, true
		}
		x2 := x1 - f1*(x1-x0)/(f1-f0)
		if math.IsNaN(x2) {
			break
		}
		x2 = math.Max(math.Min(math.Max(x2, 0.6*x1), 1.6*x1), lo)
		x0, f0, x1 = x1, f1, x2
	}
	a, b := math.Max(guess*0.98, lo), guess*1.02
	fa, fb := f(a), f(b)
	for range 60 {
		if fa >= 0 && fb <= 0 {
			break
		}
		if fa < 0 {
			b, fb = a, fa
			if a <= lo {
				return pulled{}, false
			}
			a = math.Max(a*0.8, lo)
			fa = f(a)
			continue
		}
		a, fa = b, fb
		b *= 1.25
		fb = f(b)
	}
	if !(fa >= 0 && fb <= 0) {
		return pulled{}, false
	}
	x := illinois(f, a, fa, b, fb, small)
	_, r := p.shoot(m, x)
	return r, true
}

// illinois is regula falsi with the Illinois step and bisection as guard; it stops when |f| <= small.
func illinois(f func(float64) float64, a, fa, b, fb, small float64) float64 {
	for i := range 100 {
		if math.Abs(fa) <= small {
			return a
		}
		if math.Abs(fb) <= small || math.Abs(b-a) <= 4e-16*(math.Abs(a)+math.Abs(b)) {
			return b
		}
		x := b - fb*(b-a)/(fb-fa)
		if i%5 == 4 || !(x > math.Min(a, b) && x < math.Max(a, b)) {
			x = (a + b) / 2
		}
		fx := f(x)
		if (fx < 0) != (fb < 0) {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = x, fx
	}
	return b
}
