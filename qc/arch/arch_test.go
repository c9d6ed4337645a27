package arch

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/diff/fd"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

func close(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.12g, want %.12g within %g", what, got, want, tol)
	}
}

// byIntegral walks the half rib by gonum's Gauss-Legendre quadrature of the heading.
func byIntegral(r Shape) (tip, crown float64) {
	k := 1 / r.Radius
	x := quad.Fixed(func(s float64) float64 { return math.Cos(k * s) }, 0, r.Arc/2, 60, nil, 0)
	y := quad.Fixed(func(s float64) float64 { return math.Sin(k * s) }, 0, r.Arc/2, 60, nil, 0)
	return 2 * (x + r.Leg*math.Cos(r.HalfAngle())), y + r.Leg*math.Sin(r.HalfAngle())
}

func drawRib(t *rapid.T) Shape {
	r := rapid.Float64Range(300, 4000).Draw(t, "radius")
	turn := rapid.Float64Range(0.3, 2*math.Pi*0.95).Draw(t, "turn")
	return Shape{Radius: r, Leg: rapid.Float64Range(0, 2000).Draw(t, "leg"), Arc: r * turn}
}

// Outside check: gonum integrate/quad and diff/fd.
func TestForwardAgainstQuadrature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRib(t)
		tip, crown := byIntegral(r)
		if math.Abs(tip-r.TipToTip()) > 1e-8 || math.Abs(crown-r.CrownHeight()) > 1e-8 {
			t.Fatalf("%+v: T %v H %v, quadrature %v %v", r, r.TipToTip(), r.CrownHeight(), tip, crown)
		}
		at := func(f func(Shape) float64) float64 {
			return fd.Derivative(func(x float64) float64 { return f(Shape{x, r.Leg, r.Arc}) },
				r.Radius, &fd.Settings{Formula: fd.Central, Step: 1e-3 * r.Radius / 100})
		}
		if d := at(Shape.TipToTip); math.Abs(d-r.TipByRadius()) > 1e-5*(1+math.Abs(d)) {
			t.Fatalf("dT/dR %v, differences %v", r.TipByRadius(), d)
		}
		if d := at(Shape.CrownHeight); math.Abs(d-r.CrownByRadius()) > 1e-5*(1+math.Abs(d)) {
			t.Fatalf("dH/dR %v, differences %v", r.CrownByRadius(), d)
		}
	})
}

func TestInverseReturnsTheRib(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRib(t)
		got, err := RadiusFromTip(r.TipToTip(), r.Leg, r.Arc)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got-r.Radius) > 1e-6*r.Radius/math.Max(0.01, math.Min(1, r.TipByRadius())) {
			t.Fatalf("%+v: radius from tip %v", r, got)
		}
		if r.CrownHeight() <= 0 {
			return
		}
		f, err := FitRadius(r.TipToTip(), r.CrownHeight(), r.Leg, r.Arc, 2, 3)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(f.ResidualTip) > 1e-5 || math.Abs(f.CrownGap) > 1e-4 {
			t.Fatalf("%+v: fit %+v", r, f)
		}
		c, err := radiusFromChord("chord_a_mm", r.HalfChord(), r.Leg, r.Arc)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(c-r.Radius) > 1e-5*r.Radius {
			t.Fatalf("%+v: radius from chord %v", r, c)
		}
	})
}

// The weighted fit must be a minimum: no nearby radius is better.
func TestFitIsTheMinimum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := Shape{Radius: rapid.Float64Range(700, 2000).Draw(t, "r"), Leg: 900, Arc: 4200}
		tip := r.TipToTip() + rapid.Float64Range(-40, 40).Draw(t, "dt")
		crown := r.CrownHeight() + rapid.Float64Range(-40, 40).Draw(t, "dh")
		f, err := FitRadius(tip, crown, 900, 4200, 2, 3)
		if err != nil {
			t.Fatal(err)
		}
		cost := func(x float64) float64 {
			q := Shape{x, 900, 4200}
			return sq((q.TipToTip()-tip)/2) + sq((q.CrownHeight()-crown)/3)
		}
		for _, d := range []float64{-0.01, 0.01, -5, 5} {
			if cost(f.Radius+d) < cost(f.Radius)-1e-9 {
				t.Fatalf("radius %v costs %v, %v costs %v", f.Radius, cost(f.Radius), f.Radius+d, cost(f.Radius+d))
			}
		}
	})
}

func TestSplitRadiusReturnsItsShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := TwoRadius{Leg: 700, Arc: 2600, Fraction: rapid.Float64Range(0.3, 0.7).Draw(t, "f"),
			Crown: 1 / rapid.Float64Range(750, 1000).Draw(t, "c"), Shoulders: 1 / rapid.Float64Range(750, 1000).Draw(t, "s")}
		tip, crown := w.TipAndCrown()
		g, err := SplitRadius(tip, crown, w.Leg, w.Arc, w.Fraction)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(g.Crown-w.Crown) > 1e-9 || math.Abs(g.Shoulders-w.Shoulders) > 1e-9 {
			t.Fatalf("want %+v got %+v", w, g)
		}
	})
	tip, crown := TwoRadius{Leg: 900, Arc: 4200, Fraction: 0.5, Crown: 1.02 / 1337, Shoulders: 1.0 / 1337}.TipAndCrown()
	u, err := SplitWithUncertainty(tip, crown, 900, 4200, 0.5, 20, 5)
	if err != nil {
		t.Fatal(err)
	}
	if u.Seen {
		t.Errorf("with 20 mm on the tips the split is noise, but it is said to be seen: %+v", u)
	}
	u, err = SplitWithUncertainty(tip, crown, 900, 4200, 0.5, 1, 1)
	if err != nil {
		t.Fatal(err)
	}
	if !u.Seen {
		t.Errorf("with 1 mm on both the split is real: %+v", u)
	}
}

func TestFacesGoBothWays(t *testing.T) {
	const d, phi = 12.7, 1.9
	for _, f := range []Face{Centre, Inside, Outside} {
		close(t, f.String(), TipFrom(f, TipAt(f, 2000, d, phi), d, phi), 2000, 1e-9)
		for _, foot := range []Foot{EndCentres, InnerCorners, OuterCorners, Floor} {
			close(t, f.String(), CrownFrom(f, foot, CrownAt(f, foot, 1500, d, phi), d, phi), 1500, 1e-9)
		}
	}
	// A half circle without legs: end faces lie in the tip line, so outer less inner is the bar.
	close(t, "outside less inside", TipAt(Outside, 2000, d, math.Pi/2)-TipAt(Inside, 2000, d, math.Pi/2), 2*d, 1e-9)
	// Past the half circle the outer corner is the one on the floor.
	close(t, "floor past 90 degrees", CrownAt(Centre, Floor, 1500, d, phi), CrownAt(Centre, OuterCorners, 1500, d, phi), 1e-9)
}

func TestSolveFromAnyThree(t *testing.T) {
	want := Shape{Radius: 1337, Leg: 900, Arc: 4100}
	bar, turn, tip, crown := want.BarLength(), 2*want.HalfAngle(), want.TipToTip(), want.CrownHeight()
	set := func(mask int) (Known, int) {
		var k Known
		n := 0
		for i, p := range []struct {
			to  **float64
			val *float64
		}{{&k.BarLength, &bar}, {&k.Leg, &want.Leg}, {&k.Span, &tip}, {&k.Crown, &crown}, {&k.Radius, &want.Radius}, {&k.ArcTurn, &turn}} {
			if mask>>i&1 == 1 {
				*p.to = p.val
				n++
			}
		}
		return k, n
	}
	solved := 0
	for mask := range 64 {
		k, n := set(mask)
		got, err := k.Solve(0.01)
		if n < 3 {
			if _, ok := err.(*NotEnoughError); !ok {
				t.Errorf("%06b: %v, want not enough", mask, err)
			}
			continue
		}
		if many, ok := err.(*AmbiguousError); ok {
			found := false
			for _, r := range many.Ribs {
				found = found || math.Abs(r.Radius-want.Radius) < 1e-3 && math.Abs(r.Leg-want.Leg) < 1e-3
			}
			if !found {
				t.Errorf("%06b: %v does not list the rib", mask, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%06b: %v", mask, err)
			continue
		}
		solved++
		close(t, "radius", got.Radius, want.Radius, 1e-4)
		close(t, "leg", got.Leg, want.Leg, 1e-3)
		close(t, "arc", got.Arc, want.Arc, 1e-3)
	}
	if solved < 35 {
		t.Errorf("only %d of the 42 sufficient sets gave one answer", solved)
	}
	k, _ := set(0b011111)
	off := want.Radius + 5
	k.Radius = &off
	if _, err := k.Solve(0.01); err == nil {
		t.Error("a contradiction was accepted")
	}
}

func TestSolveConvertsFaces(t *testing.T) {
	const d = 16.0
	want := Shape{Radius: 1337, Leg: 900, Arc: 4100}
	phi := want.HalfAngle()
	span, crown, bar := TipAt(Outside, want.TipToTip(), d, phi), CrownAt(Outside, Floor, want.CrownHeight(), d, phi), want.BarLength()
	k := Known{BarLength: &bar, Span: &span, Crown: &crown, Diameter: d, SpanFace: Outside, CrownFace: Outside, CrownFoot: Floor}
	got, err := k.Solve(0.01)
	if many, ok := err.(*AmbiguousError); ok {
		for _, r := range many.Ribs {
			if math.Abs(r.Radius-want.Radius) < 1e-3 {
				got, err = r, nil
			}
		}
	}
	if err != nil {
		t.Fatal(err)
	}
	close(t, "radius", got.Radius, want.Radius, 1e-3)
}

func TestCurveAgreesWithRib(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := drawRib(t)
		p := r.Curve().Place()
		if r.CrownHeight() < 1 {
			return
		}
		if math.Abs(p.TipToTip()-r.TipToTip()) > 1e-7 || math.Abs(p.CrownHeight()-r.CrownHeight()) > 1e-7 {
			t.Fatalf("%+v: placed T %v H %v want %v %v", r, p.TipToTip(), p.CrownHeight(), r.TipToTip(), r.CrownHeight())
		}
	})
}

func TestBuriedWidth(t *testing.T) {
	p := Shape{Radius: 1337, Leg: 900, Arc: 4200}.Curve().Place()
	w, h, err := p.BuriedWidth(450)
	if err != nil {
		t.Fatal(err)
	}
	phi := Shape{1337, 900, 4200}.HalfAngle()
	close(t, "width", w, p.TipToTip()-2*450/math.Tan(phi), 1e-6)
	close(t, "clear height", h, p.CrownHeight()-450, 1e-9)
	if _, _, err := p.BuriedWidth(3000); err == nil {
		t.Error("buried deeper than the crown was accepted")
	}
}
