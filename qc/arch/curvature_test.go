package arch

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// bent is the target bent further by three curvature terms, as a chain of 400 arcs: an independent
// non-linear forward model for the linear influence functions.
func bent(r Shape, k [3]float64) Placed {
	const n = 400
	c := Curve{{Length: r.Leg}}
	for i := range n {
		x := r.Arc * ((float64(i)+0.5)/n - 0.5)
		k0 := 1 / r.Radius
		for j := range k {
			k0 += k[j] * basis(j, x, r.Arc)
		}
		c = append(c, Segment{Length: r.Arc / n, Curvature: k0})
	}
	return append(c, Segment{Length: r.Leg}).Place()
}

func readingOf(p, target Placed, stations []Station, lay Rigid) Reading {
	tip, crown := p.TipToTip(), p.CrownHeight()
	n := p.Length()
	c := p.At(n / 2)
	chord := func(x float64) *float64 { q := p.At(x); d := math.Hypot(q.X-c.X, q.Y-c.Y); return &d }
	r := Reading{Tip: &tip, Crown: &crown, ChordA: chord(0), ChordB: chord(n), UTip: 1, UCrown: 1, UChord: 1, UOffset: 0.5}
	for _, s := range stations {
		row := target.row(s)
		r.Offsets = append(r.Offsets, OffsetAt{s, target.OffsetOf(p, s) + row[0]*lay.DX + row[1]*lay.DY + row[2]*lay.Turn*target.Length()})
	}
	return r
}

func TestFitShapeFindsTheTerms(t *testing.T) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	rapid.Check(t, func(t *rapid.T) {
		var k [3]float64
		for i, n := range []string{"k0", "k1", "k2"} {
			k[i] = rapid.Float64Range(-2e-6, 2e-6).Draw(t, n)
		}
		at := stations(rib.Arc, rapid.IntRange(0, 5).Draw(t, "stations"))
		lay := Rigid{rapid.Float64Range(-5, 5).Draw(t, "dx"), rapid.Float64Range(-5, 5).Draw(t, "dy"),
			rapid.Float64Range(-0.003, 0.003).Draw(t, "turn")}
		s, err := target.FitCurvature(readingOf(bent(rib, k), target, at, lay), rib.Arc)
		if err != nil {
			t.Fatal(err)
		}
		for i := range k {
			if math.Abs(s.K[i]-k[i]) > 1e-7 {
				t.Fatalf("term %d: %g, want %g (%+v)", i, s.K[i], k[i], s)
			}
		}
	})
}

func TestFitShapeCannotTell(t *testing.T) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	tip := rib.TipToTip() + 3
	s, err := target.FitCurvature(Reading{Tip: &tip, UTip: 5}, rib.Arc)
	if err != nil {
		t.Fatal(err)
	}
	if s.Known[1] || s.Known[2] || !s.Known[0] || s.Seen(0) || !math.IsInf(s.U[1], 1) {
		t.Errorf("one reading of 3 +- 5 mm tells nothing: %+v", s)
	}
	if d := target.Diagnose(s, rib.Arc); d.CanTell || !strings.Contains(d.Sentence, "cannot tell") {
		t.Errorf("diagnosis %+v", d)
	}
	if _, err := target.FitCurvature(Reading{}, rib.Arc); err == nil {
		t.Error("no reading at all was fitted")
	}
}

func TestDiagnosePlaces(t *testing.T) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	for _, c := range []struct {
		k    [3]float64
		want Place
	}{
		{[3]float64{-2e-6, 0, 0}, Everywhere}, {[3]float64{3e-6, 0, 0}, Everywhere},
		{[3]float64{0, 3e-5, 0}, AtCrown}, {[3]float64{0, -3e-5, 0}, AtShoulder},
		{[3]float64{0, 0, 3e-5}, AtLegA}, {[3]float64{0, 0, -3e-5}, AtLegB},
	} {
		s, err := target.FitCurvature(readingOf(bent(rib, c.k), target, nil, Rigid{}), rib.Arc)
		if err != nil {
			t.Fatal(err)
		}
		if d := target.Diagnose(s, rib.Arc); d.Place != c.want || !d.CanTell {
			t.Errorf("%v: %+v, want %s", c.k, d, c.want)
		}
	}
}

// The motion taken out leaves the least sum of squares: a little more or less of it leaves more.
func TestLeastSquaresMotion(t *testing.T) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	rapid.Check(t, func(t *rapid.T) {
		var off []OffsetAt
		for _, s := range stations(rib.Arc, rapid.IntRange(2, 4).Draw(t, "n")) {
			off = append(off, OffsetAt{s, float64(rapid.IntRange(-60, 60).Draw(t, s.String())) / 10})
		}
		ls, err := target.AlignLeastSquares(off)
		if err != nil {
			t.Fatal(err)
		}
		if k := target.motions(off); k != 2 {
			t.Fatalf("%d motions on a circular arc", k)
		}
		for _, d := range [][]float64{{0.1, 0}, {-0.1, 0}, {0, 0.1}, {0, -0.1}} {
			if got := target.align(off, []float64{ls.Motion.DX + d[0], ls.Motion.DY + d[1]}); got.RMS <= ls.RMS {
				t.Fatalf("moved by %v on the rest is %v, before %v", d, got.RMS, ls.RMS)
			}
		}
	})
}

func BenchmarkLiveFit(b *testing.B) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	r := readingOf(bent(rib, [3]float64{1e-6, 1e-6, 0}), target, stations(rib.Arc, 3), Rigid{})
	for b.Loop() {
		if _, err := target.FitCurvature(r, rib.Arc); err != nil {
			b.Fatal(err)
		}
		if _, err := FitRadius(*r.Tip, *r.Crown, rib.Leg, rib.Arc, 2, 3); err != nil {
			b.Fatal(err)
		}
	}
}

// stations are n evenly spread over each half arc, its end and the crown left out: A1 to An, then B1 to Bn.
func stations(arc float64, n int) []Station {
	var a, b []Station
	for i := 1; i <= n; i++ {
		x := arc / 2 * (1 - float64(i)/float64(n+1))
		a, b = append(a, Station{LegA, i, -x}), append(b, Station{LegB, i, x})
	}
	return append(a, b...)
}
