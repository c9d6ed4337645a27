package bend

import (
	"math"

	"springline/qc/arch"
)

// Bar is a round bar of elastic, linearly hardening steel.
type Bar struct {
	Diameter  float64 `json:"diameter_mm" doc:"bar diameter, mm"`
	Modulus   float64 `json:"modulus_mpa" doc:"Young's modulus, MPa"`
	Yield     float64 `json:"yield_mpa" doc:"yield stress, MPa"`
	Hardening float64 `json:"hardening_mpa" doc:"tangent modulus after yield, MPa; 0 for none"`
}

// Check refuses a bar that cannot exist.
func (b Bar) Check() error {
	for _, c := range []struct {
		field string
		v     float64
	}{{"diameter_mm", b.Diameter}, {"modulus_mpa", b.Modulus}, {"yield_mpa", b.Yield}} {
		if err := arch.CheckPositive(c.field, c.v); err != nil {
			return err
		}
	}
	if err := arch.CheckNotNegative("hardening_mpa", b.Hardening); err != nil {
		return err
	}
	if b.Hardening >= b.Modulus {
		return arch.Refuse("out_of_range", "hardening_mpa", "is %g; it must be less than the modulus of %g", b.Hardening, b.Modulus)
	}
	if b.Yield >= b.Modulus/10 {
		return arch.Refuse("out_of_range", "yield_mpa", "is %g; no steel of modulus %g yields so late", b.Yield, b.Modulus)
	}
	return nil
}

// Stiffness is E I, N mm^2, with I = pi d^4/64.
func (b Bar) Stiffness() float64 { return b.Modulus * math.Pi * sq(sq(b.Diameter)) / 64 }

// YieldCurvature is 2 fy/(E d), 1/mm: the outer fibre begins to yield.
func (b Bar) YieldCurvature() float64 { return 2 * b.Yield / (b.Modulus * b.Diameter) }

// YieldMoment is fy pi d^3/32, N mm.
func (b Bar) YieldMoment() float64 { return b.Yield * math.Pi * cube(b.Diameter) / 32 }

// PlasticMoment is fy d^3/6, N mm: 16/(3 pi) of the yield moment, without hardening.
func (b Bar) PlasticMoment() float64 { return b.Yield * cube(b.Diameter) / 6 }

func (b Bar) e() float64 { return b.Hardening / b.Modulus }

// Moment is the bending moment of a straight bar bent to curvature k >= 0, N mm. Below the yield
// curvature E I k; above it fy r^3 [asin(u)/(2u) + (5 - 2u^2) sqrt(1-u^2)/6] with u = ky/k, plus linear
// hardening in proportion: e E I k + (1-e) of that.
func (b Bar) Moment(k float64) float64 { return b.YieldMoment() * virgin(k/b.YieldCurvature(), b.e()) }

// virgin is M/My at w = k/ky.
func virgin(w, e float64) float64 {
	if w <= 1 {
		return w
	}
	u := 1 / w
	return e*w + (1-e)*4/math.Pi*(math.Asin(u)/(2*u)+(5-2*u*u)*math.Sqrt(1-u*u)/6)
}

// virginSlope is d(M/My)/d(k/ky): the share of the section that is still elastic, plus hardening.
// Core of half depth r sin t: I_core/I = (2/pi)(t - sin(4t)/4).
func virginSlope(w, e float64) float64 {
	if w <= 1 {
		return 1
	}
	return e + (1-e)*core(math.Asin(1/w))
}

func core(t float64) float64 {
	if t < 0.01 {
		// t - sin(4t)/4 = 8 t^3/3 - 32 t^5/15 + ...
		return 2 / math.Pi * t * t * t * (8.0/3 - 32.0/15*t*t)
	}
	return 2 / math.Pi * (t - math.Sin(4*t)/4)
}

// virginInverse solves virgin(w) = m, by Newton from the guess with bisection as its guard.
func virginInverse(m, e, guess float64) float64 {
	if m <= 1 {
		return m
	}
	const top = 16 / (3 * math.Pi)
	if e == 0 && m >= top {
		return math.Inf(1)
	}
	lo, hi := 1.0, 0.0
	if e > 0 {
		// virgin(w) >= e w + (1-e), since the perfectly plastic part is at least My.
		hi = math.Max((m-(1-e))/e, 1)
	} else {
		// virgin falls short of the top by less than top/(2 w^2) for all w > 1.
		hi = math.Sqrt(top / (2 * (top - m)))
		if hi < 1 {
			hi = 1
		}
		for virgin(hi, e) < m && hi < 1e300 {
			hi *= 2
		}
	}
	w := guess
	if !(w > lo && w < hi) {
		w = lo + math.Min(0.5*(hi-lo), 1)
	}
	for range 200 {
		f := virgin(w, e) - m
		if f > 0 {
			hi = w
		} else {
			lo = w
		}
		step := f / virginSlope(w, e)
		n := w - step
		if !(n > lo && n < hi) {
			n = lo + (hi-lo)/2
		}
		// Newton squares the error: a step this small leaves only rounding.
		if math.Abs(n-w) <= 1e-8*n {
			return n
		}
		w = n
	}
	return w
}

func sq(x float64) float64   { return x * x }
func cube(x float64) float64 { return x * x * x }
