package qc_test

import (
	"math"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/length"
)

// measuredAs judges a rib that has the places of another curve: made from plane geometry of arcs, not from
// the fit.
func measuredAs(t *testing.T, target qc.Target, c arch.Curve) qc.Verdict {
	t.Helper()
	want, is := target.Rib().Curve().Place(), c.Place()
	mm := func(v float64) length.Length {
		l, err := length.FromMM(v)
		if err != nil {
			t.Fatal(err)
		}
		return l
	}
	v := qc.Verdict{}
	add := func(id qc.CharID, dev float64) {
		ch, ok := target.Characteristic(id)
		if !ok {
			t.Fatalf("no %s", id)
		}
		v.Chars = append(v.Chars, qc.Judgement{Char: ch, Dev: qc.Deviation{Char: id, Dev: mm(dev)}, U: length.Millimetre / 2, Measured: true})
	}
	add(qc.Tip, is.TipToTip()-want.TipToTip())
	add(qc.Crown, is.CrownHeight()-want.CrownHeight())
	for _, s := range target.Stations {
		x := s.FromCrown.MM()
		if s.ID[0] == 'A' {
			x = -x
		}
		add(s.ID, want.OffsetOf(is, arch.Station{X: x}))
	}
	return v
}

func shapeTarget(t *testing.T, stations int) qc.Target {
	t.Helper()
	target, err := qc.NewArch(qc.ArchSpec{ID: "a", Name: "a", Revision: 1,
		Bar: qc.Bar{Diameter: 12 * length.Millimetre, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * length.Millimetre, Arc: 4200 * length.Millimetre, Radius: 1500 * length.Millimetre, Face: qc.Centre, StationsPerSide: stations,
		TolTip: 20 * length.Millimetre, TolCrown: 20 * length.Millimetre, TolStation: 10 * length.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	return target
}

// Shapes of plain arcs, whose tips and crowns follow from plane trigonometry (arch.Curve), and what each must
// be called. The radius of the middle half of a two-radius arc is 2 % less than that of the outer quarters.
func TestShapeIsNamed(t *testing.T) {
	leg, arc, r := 900.0, 4200.0, 1500.0
	for name, c := range map[string]struct {
		curve arch.Curve
		want  string
		place arch.Place
	}{
		"as wanted": {arch.Curve{{Length: leg}, {Length: arc, Curvature: 1 / r}, {Length: leg}}, "cannot tell", arch.Nowhere},
		"too open":  {arch.Curve{{Length: leg}, {Length: arc, Curvature: 1 / (r * 1.02)}, {Length: leg}}, "too open", arch.Everywhere},
		"too tight": {arch.Curve{{Length: leg}, {Length: arc, Curvature: 1 / (r * 0.98)}, {Length: leg}}, "too tight", arch.Everywhere},
		"peaked": {arch.Curve{{Length: leg}, {Length: arc / 4, Curvature: .97 / r},
			{Length: arc / 2, Curvature: 1.03 / r}, {Length: arc / 4, Curvature: .97 / r}, {Length: leg}},
			"peaked at the crown", arch.AtCrown},
		"flat": {arch.Curve{{Length: leg}, {Length: arc / 4, Curvature: 1.03 / r},
			{Length: arc / 2, Curvature: .97 / r}, {Length: arc / 4, Curvature: 1.03 / r}, {Length: leg}},
			"flat at the crown", arch.AtShoulder},
		"lean": {arch.Curve{{Length: leg}, {Length: arc / 2, Curvature: .97 / r}, {Length: arc / 2, Curvature: 1.03 / r}, {Length: leg}},
			"half of leg B is bent tighter", arch.AtLegA},
	} {
		for _, stations := range []int{0, 3} {
			if stations == 0 && name == "lean" {
				continue // tips and crown are blind to it
			}
			target := shapeTarget(t, stations)
			s, ok := target.FitShape(measuredAs(t, target, c.curve))
			if !ok || !strings.Contains(s.Sentence, c.want) || s.Place != c.place || s.CanTell != (c.place != arch.Nowhere) {
				t.Errorf("%s with %d stations: %+v", name, 2*stations, s.Sentence)
			}
			real := c.curve.Place().TipToTip() - target.Rib().Curve().Place().TipToTip()
			if d := math.Abs(s.DTip - real); d > 4+0.03*math.Abs(real) {
				t.Errorf("%s with %d stations: the tips moved by %.1f, fitted %.1f", name, 2*stations, real, s.DTip)
			}
			for _, o := range s.Offsets {
				x := s.Target.Length()/2 + o.X
				px, py := s.Moved(x)
				q := s.Target.At(x)
				nx, ny := s.Target.Normal(x)
				if off := (px-q.X)*nx + (py-q.Y)*ny; math.Abs(off-o.Value) > 4 {
					t.Errorf("%s: the fitted line is %.1f proud at %v, measured %.1f", name, off, o.X, o.Value)
				}
			}
		}
	}
	// One station 6 mm proud on a rib that is otherwise as wanted: no smooth bend does that.
	target := shapeTarget(t, 3)
	v := measuredAs(t, target, target.Rib().Curve())
	for i := range v.Chars {
		if v.Chars[i].Char.ID == "B2" {
			v.Chars[i].Dev.Dev = 6 * length.Millimetre
		}
	}
	if s, ok := target.FitShape(v); !ok || s.CanTell || !strings.Contains(s.Sentence, "stands out by") {
		t.Errorf("a kink at B2: %+v", s.Sentence)
	}
	if _, ok := shapeTarget(t, 1).FitShape(qc.Verdict{}); ok {
		t.Error("a rib of which nothing is measured has a shape")
	}
}

func BenchmarkFitShape(b *testing.B) {
	t := &testing.T{}
	target := shapeTarget(t, 3)
	v := measuredAs(t, target, arch.Curve{{Length: 900}, {Length: 4200, Curvature: 1.01 / 1500}, {Length: 900}})
	for b.Loop() {
		if _, ok := target.FitShape(v); !ok {
			b.Fatal("no shape")
		}
	}
}
