package bend

import (
	"errors"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"

	"springline/qc/arch"
)

func drawBar(t *rapid.T) Bar {
	return Bar{
		Diameter: rapid.Float64Range(6, 32).Draw(t, "d"), Modulus: rapid.Float64Range(180e3, 210e3).Draw(t, "E"),
		Yield:     rapid.Float64Range(200, 700).Draw(t, "fy"),
		Hardening: rapid.SampledFrom([]float64{0, 500, 2000, 10000}).Draw(t, "Et"),
	}
}

// sectionMoment integrates the bilinear stress over the round section with gonum's quadrature, the
// section cut at the elastic core so that each panel is smooth.
func sectionMoment(b Bar, k float64) float64 {
	r := b.Diameter / 2
	// y = r sin t gives dA y = 2 r^3 sin t cos^2 t dt, smooth to the edge.
	f := func(t float64) float64 {
		y := r * math.Sin(t)
		e := k * y
		ey := b.Yield / b.Modulus
		s := b.Modulus * e
		if e > ey {
			s = b.Yield + b.Hardening*(e-ey)
		}
		return 2 * s * y * sq(r*math.Cos(t))
	}
	edge := math.Pi / 2
	if y := b.Yield / b.Modulus / k; y < r {
		edge = math.Asin(y / r)
	}
	m := quad.Fixed(f, 0, edge, 40, nil, 0)
	if edge < math.Pi/2 {
		m += quad.Fixed(f, edge, math.Pi/2, 40, nil, 0)
	}
	return 2 * m
}

func TestMomentAgainstQuadrature(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBar(t)
		k := b.YieldCurvature() * math.Exp(rapid.Float64Range(-1, 3).Draw(t, "ln w"))
		want := sectionMoment(b, k)
		if got := b.Moment(k); math.Abs(got-want) > 1e-10*want {
			t.Fatalf("%+v k/ky %v: M %v, quadrature %v", b, k/b.YieldCurvature(), got, want)
		}
		if kf := b.Released(k); math.Abs(kf-(k-want/b.Stiffness())) > 1e-10*k {
			t.Fatalf("released %v, quadrature %v", kf, k-want/b.Stiffness())
		}
		if back := b.YieldCurvature() * virginInverse(b.Moment(k)/b.YieldMoment(), b.e(), 1); b.Hardening > 0 && math.Abs(back-k) > 1e-8*k {
			t.Fatalf("curvature of the moment of %v is %v", k, back)
		}
		h := 1e-5 * k
		slope := (b.Moment(k+h) - b.Moment(k-h)) / (2 * h) / b.Stiffness()
		if w := k / b.YieldCurvature(); math.Abs(w-1) > 1e-3 && math.Abs(slope-virginSlope(w, b.e())) > 1e-5 {
			t.Fatalf("slope %v, differences %v", virginSlope(w, b.e()), slope)
		}
	})
}

func TestJigUndoesSpringback(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBar(t)
		face := (1/b.YieldCurvature())*rapid.Float64Range(0.05, 0.98).Draw(t, "u") - b.Diameter/2
		s, err := b.Spring(face)
		if err != nil {
			t.Fatal(err)
		}
		j, err := b.Jig(s.Released)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(j.Loaded-s.Loaded) > 1e-7*s.Loaded {
			t.Fatalf("%+v: jig %v, want %v", b, j.Loaded, s.Loaded)
		}
		if b.Hardening == 0 {
			f, err := FromTest(b.Diameter, b.Modulus, s.Loaded, s.Released)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(f.ApparentYield-b.Yield) > 1e-7*b.Yield {
				t.Fatalf("apparent yield %v, want %v", f.ApparentYield, b.Yield)
			}
		}
	})
}

// Ratios Rj/Rf and M/Mp of a round bar, from the series 1 - 1.69765 u + 0.848826 u^3 - 0.127324 u^5
// for small u and numerical section integration for the rest.
func TestRoundBarTable(t *testing.T) {
	for _, c := range []struct{ u, ratio, moment float64 }{
		{.05, .915223, .99875}, {.10, .831082, .99501}, {.15, .748207, .98879}, {.20, .667219, .98012}, {.25, .588724, .96905},
		{.30, .513310, .95561}, {.35, .441536, .93989}, {.40, .373934, .92196}, {.50, .253170, .87984}, {.60, .154377, .83019},
		{.80, .030749, .71367},
	} {
		if got := released(c.u); math.Abs(got-c.ratio) > 6e-7 {
			t.Errorf("u = %v: ratio %v, want %v", c.u, got, c.ratio)
		}
		if got := virgin(1/c.u, 0) * 3 * math.Pi / 16; math.Abs(got-c.moment) > 6e-6 {
			t.Errorf("u = %v: M/Mp %v, want %v", c.u, got, c.moment)
		}
	}
	// Shape factor of the solid round section, 16/(3 pi): any strength-of-materials text.
	b := Bar{Diameter: 12, Modulus: 200e3, Yield: 500}
	if got := b.PlasticMoment() / b.YieldMoment(); math.Abs(got-16/(3*math.Pi)) > 1e-12 {
		t.Errorf("shape factor %v", got)
	}
}

// Kalpakjian and Schmid, sheet springback: 0.0359 in sheet, inside radius 0.5 in, yield 40 ksi, E 29e6 psi
// gives a final radius of .531 in (from memory, recomputed).
func TestSheetSpringback(t *testing.T) {
	q := sheetRatio(0.5, 0.0359, 40e3, 29e6)
	within(t, "final radius", 0.5/q, 0.53056, 5e-6)
}

// Common practice, no source: a No. 4 bar of 20 ft with 4 ft straight legs pulled round a semicircular
// jig of 3.5 ft opens on release to about 14 ft tip to tip. The apparent yield then lies between 270 and
// 300 MPa, and the jig for a 7 ft radius is 2.4 to 2.7 ft, not half of the wanted radius.
func TestFourteenFeet(t *testing.T) {
	const ft, d = 304.8, 12.7
	face := 3.5*ft - d/2
	rf, err := arch.RadiusFromTip(14*ft, 4*ft, 12*ft)
	if err != nil {
		t.Fatal(err)
	}
	f, err := FromTest(d, 200e3, face+d/2, rf)
	if err != nil {
		t.Fatal(err)
	}
	if f.ApparentYield < 270 || f.ApparentYield > 300 {
		t.Errorf("apparent yield %.1f MPa, want 270 to 300", f.ApparentYield)
	}
	// "7 ft" is the wanted distance between the tips' verticals: the rib of 12 ft arc on a 3.5 ft radius.
	j, err := Bar{Diameter: d, Modulus: 200e3, Yield: f.ApparentYield}.Jig(3.5 * ft)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("apparent yield %.1f MPa, released radius %.3f ft, jig for 3.5 ft %.3f ft", f.ApparentYield, rf/ft, j.Loaded/ft)
	if j.Loaded/ft < 2.4 || j.Loaded/ft > 2.7 {
		t.Errorf("jig radius %.3f ft, want 2.4 to 2.7", j.Loaded/ft)
	}
}

// For 12 mm at 500 MPa and 1340 mm the exact jig gives 1340; the rules of thumb miss by what is logged,
// all of them by more than a percent but the last, which is good to half a percent at this bend.
func TestShortcutsMiss(t *testing.T) {
	s, err := Bar{Diameter: 12, Modulus: 200e3, Yield: 500}.Shortcuts(1340)
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range s {
		miss := math.Abs(c.Released/1340 - 1)
		t.Logf("%s: jig %.1f gives %.1f", c.Name, c.Jig, c.Released)
		if (i == 0) != (miss < 1e-9) {
			t.Errorf("%s: misses by %g", c.Name, miss)
		}
	}
	if s, _ := (Bar{Diameter: 12, Modulus: 200e3, Yield: 500}).Shortcuts(9000); !s[1].Straight {
		t.Errorf("half of 9 m springs straight: %+v", s[1])
	}
}

func TestStraightBarIsSaid(t *testing.T) {
	b := Bar{Diameter: 12.7, Modulus: 200e3, Yield: 420}
	_, err := b.Spring(3100)
	var s *StraightError
	if !errors.As(err, &s) {
		t.Fatalf("%v, want a StraightError", err)
	}
	// Largest jig radius that leaves any set: E d/(2 fy), 3.02 m for No. 4 at 420 MPa.
	within(t, "largest", (s.LargestRadius+b.Diameter/2)/1000, 3.02, 0.005)
	if _, err := b.Spring(s.LargestRadius * 0.9); err != nil {
		t.Error(err)
	}
}

func TestLayoutWarnings(t *testing.T) {
	l, err := LayOut(694, 4200, 21, 0, 0, 900, 12)
	if err != nil {
		t.Fatal(err)
	}
	if len(l.Warnings) != 2 {
		t.Errorf("blocks 209 mm apart and crossed legs on this jig: %q", l.Warnings)
	}
	n := BlocksFor(694, 4200, 6)
	for _, c := range []struct {
		n  int
		ok bool
	}{{n, true}, {n - 1, false}} {
		l, err := LayOut(694, 4200, c.n, 0, 0, 0, 12)
		if err != nil {
			t.Fatal(err)
		}
		if (l.Sagitta <= 6) != c.ok {
			t.Errorf("%d blocks bulge %v mm", c.n, l.Sagitta)
		}
	}
	within(t, "square block", FlatBlockRadius(700, 90), math.Sqrt(700*700+45*45), 1e-9)
}

func within(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s = %.10g, want %.10g within %g", what, got, want, tol)
	}
}

func BenchmarkSpring(b *testing.B) {
	bar := Bar{Diameter: 12, Modulus: 200e3, Yield: 500, Hardening: 2000}
	for b.Loop() {
		if _, err := bar.Spring(690); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJig(b *testing.B) {
	bar := Bar{Diameter: 12, Modulus: 200e3, Yield: 500, Hardening: 2000}
	for b.Loop() {
		if _, err := bar.Jig(1340); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPull(b *testing.B) {
	j := Job{Bar: Bar{Diameter: 12, Modulus: 200e3, Yield: 500, Hardening: 2000}, Loaded: 700, Leg: 900, Arc: 4200}
	for _, c := range []struct {
		name string
		set  float64
	}{{"close", 128}, {"open", -19}} {
		b.Run(c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := j.Pull(c.set); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// Above 150 N a bar asks for a pipe or a second person, above 400 N it is none for hands (initial pull guides, HSE
// RR 228, from memory): fy d^3/6 of 12 mm at 500 MPa is 144 N m, at a metre 144 N.
func TestEffortByHand(t *testing.T) {
	b := Bar{Diameter: 12, Yield: 500}
	for lever, want := range map[float64]string{1000: "", 970: "", 950: "second person", 370: "second person", 350: "not by hand"} {
		e, err := b.EffortAt(lever)
		if err != nil || !strings.HasSuffix(e.Advice, want) || (want == "") != (e.Advice == "") {
			t.Errorf("at %v mm: %.0f N, %q, %v; want %q", lever, e.Force, e.Advice, err, want)
		}
	}
}
