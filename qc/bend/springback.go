package bend

import (
	"math"

	"springline/qc/arch"
)

// released is 1 - M/(E I k) for perfect plasticity at k = ky/u: loaded radius over released radius.
// With c = acos(u) it is (2/pi)[c - (8 sin 2c - sin 4c)/12], which keeps its precision near u = 1 by a
// series, where the textbook form 1 - (2/pi)[asin u + (u/3)(5-2u^2) sqrt(1-u^2)] cancels.
func released(u float64) float64 {
	if u >= 1 {
		return 0
	}
	return releasedBy(math.Acos(u))
}

func releasedBy(c float64) float64 {
	if c < 0.05 {
		c2 := c * c
		return 2 / math.Pi * c2 * c2 * c * (8.0/15 - c2*(16.0/63-c2*8.0/135))
	}
	// Sine and cosine of 2c give all four terms.
	s, k := math.Sincos(2 * c)
	return 2 / math.Pi * (c - s*(4-k)/6)
}

// releasedSlope is d(releasedBy)/dc: (2/pi)(1 - (4 cos 2c - cos 4c)/3) = (16/(3 pi)) sin^4 c.
func releasedSlope(c float64) float64 {
	s := math.Sin(c)
	return 16 / (3 * math.Pi) * sq(s*s)
}

// Released is the curvature left after an elastic release from curvature k: k - M(k)/(E I), 1/mm; zero
// when the bar stayed elastic.
func (b Bar) Released(k float64) float64 {
	return (1 - b.e()) * k * released(b.YieldCurvature()/k)
}

// Springback is what a jig does to a bar. Radii are of the centreline, mm.
type Springback struct {
	Loaded   float64 `json:"loaded_radius_mm" doc:"centreline radius on the jig, mm"`
	Released float64 `json:"released_radius_mm" doc:"centreline radius after release, mm"`
	Ratio    float64 `json:"ratio" doc:"loaded over released"`
}

// StraightError says that the bar springs back straight: the jig's curvature stays elastic.
type StraightError struct {
	FaceRadius    float64 // asked for, mm
	LargestRadius float64 // the largest jig face radius that leaves any set, mm
}

func (e *StraightError) Error() string { return e.Unwrap().Error() }

// Unwrap is the *arch.InputError that names the jig.
func (e *StraightError) Unwrap() error {
	return arch.Refuse("springs_straight", "jig_face_radius_mm",
		"is %g: the bar stays elastic and springs straight; only a face radius below %.1f leaves a set",
		e.FaceRadius, e.LargestRadius)
}

// Spring bends the bar round a jig of the given face radius and lets go.
func (b Bar) Spring(faceRadius float64) (Springback, error) {
	if err := b.Check(); err != nil {
		return Springback{}, err
	}
	if err := arch.CheckPositive("jig_face_radius_mm", faceRadius); err != nil {
		return Springback{}, err
	}
	s := Springback{Loaded: faceRadius + b.Diameter/2}
	s.Ratio = b.Released(1/s.Loaded) * s.Loaded
	if s.Ratio <= 1e-12 {
		return Springback{}, &StraightError{FaceRadius: faceRadius, LargestRadius: b.LargestFace()}
	}
	s.Released = s.Loaded / s.Ratio
	return s, nil
}

// LargestFace is the largest jig face radius that leaves any set, E d/(2 fy) - d/2, mm.
func (b Bar) LargestFace() float64 { return 1/b.YieldCurvature() - b.Diameter/2 }

// Jig finds the loaded curvature that leaves the wanted released radius (centreline, mm): the root of
// k - M(k)/(E I) = 1/wanted, where the left side rises steadily.
func (b Bar) Jig(wanted float64) (Springback, error) {
	if err := b.Check(); err != nil {
		return Springback{}, err
	}
	if err := arch.CheckPositive("wanted_radius_mm", wanted); err != nil {
		return Springback{}, err
	}
	k := b.loadedFor(1 / wanted)
	s := Springback{Loaded: 1 / k, Released: wanted}
	s.Ratio = s.Loaded / wanted
	if s.Loaded-b.Diameter/2 <= 0 {
		return Springback{}, arch.Refuse("out_of_range", "wanted_radius_mm",
			"is %g: a bar of %g would need a jig without any radius", wanted, b.Diameter)
	}
	return s, nil
}

// loadedFor inverts Released. In terms of c = acos(ky/k) the target is g(c) = releasedBy(c)/cos(c) = kf/(ky (1-e)),
// which rises from 0 to infinity over (0, pi/2).
func (b Bar) loadedFor(kf float64) float64 {
	ky := b.YieldCurvature()
	goal := kf / (ky * (1 - b.e()))
	// Start from the large-curvature limit k = kf + 16/(3 pi) ky, near enough for every jig in use.
	w := goal + 16/(3*math.Pi)
	lo, hi := 1.0, goal+3
	for range 100 {
		u := 1 / w
		f := w*released(u) - goal
		if f > 0 {
			hi = w
		} else {
			lo = w
		}
		// d(w - m(w))/dw = 1 - core.
		slope := 1 - core(math.Asin(u))
		n := w - f/slope
		if !(n > lo && n < hi) {
			n = lo + (hi-lo)/2
		}
		if math.Abs(n-w) <= 2e-16*n || hi-lo <= 2e-16*hi {
			return n * ky
		}
		w = n
	}
	return w * ky
}

// TestBend is what one bent bar says about springback.
type TestBend struct {
	Springback
	ApparentYield  float64 // MPa: yield of the perfectly plastic round bar that would do the same
	SpringConstant float64 // ApparentYield/(E d), 1/mm
}

// FromTest turns a test bend into a spring constant: loaded and released centreline radii, mm.
func FromTest(diameter, modulus, loaded, releasedRadius float64) (TestBend, error) {
	t := TestBend{Springback: Springback{Loaded: loaded, Released: releasedRadius, Ratio: loaded / releasedRadius}}
	if !(t.Ratio > 0 && t.Ratio < 1) {
		return TestBend{}, arch.Refuse("out_of_range", "tip_to_tip_mm",
			"means a released radius of %.3f, not larger than the %.3f on the jig: no bar springs inwards", releasedRadius, loaded)
	}
	u := springRatioInverse(t.Ratio)
	t.SpringConstant = u / (2 * loaded)
	t.ApparentYield = t.SpringConstant * modulus * diameter
	return t, nil
}

// springRatioInverse solves released(u) = q for u = ky/k in (0, 1).
func springRatioInverse(q float64) float64 {
	lo, hi := 0.0, math.Pi/2
	// Series starts at both ends: (16/(15 pi)) c^5 near 0; 1 - 1.69765 u near pi/2.
	c := math.Pow(15*math.Pi/16*q, 0.2)
	if q > 0.3 {
		c = math.Acos(math.Min((1-q)*3*math.Pi/16, 1))
	}
	for range 100 {
		f := releasedBy(c) - q
		if f > 0 {
			hi = c
		} else {
			lo = c
		}
		n := c - f/releasedSlope(c)
		if !(n > lo && n < hi) {
			n = (lo + hi) / 2
		}
		if math.Abs(n-c) <= 1e-16+2e-16*c {
			c = n
			break
		}
		c = n
	}
	return math.Cos(c)
}

// Effort is what the bender has to give.
type Effort struct {
	PlasticMoment float64 // N mm, the ceiling of the moment on the jig
	Force         float64 // N at the lever
	Advice        string  // empty while one person can do it
}

// EffortAt gives the force at a lever arm of lever mm from the block. Above 150 N it asks for a pipe or
// a second person, above 400 N it says not by hand (initial pull guides, HSE RR 228).
func (b Bar) EffortAt(lever float64) (Effort, error) {
	if err := arch.CheckPositive("lever_mm", lever); err != nil {
		return Effort{}, err
	}
	e := Effort{PlasticMoment: b.PlasticMoment()}
	e.Force = e.PlasticMoment / lever
	switch {
	case e.Force > 400:
		e.Advice = "not by hand"
	case e.Force > 150:
		e.Advice = "use a pipe over the leg or a second person"
	}
	return e, nil
}
