package arch

import (
	"math"
	"testing"
)

// byReadings is the standard uncertainty of f that two readings lead to, by changing each a little: an independent
// way to what the fits work out in closed form (JCGM 100:2008, 5.1.3, note 2).
func byReadings(t *testing.T, f func(a, b float64) float64, a, b, ua, ub float64) float64 {
	t.Helper()
	const h = 0.01
	da, db := (f(a+h, b)-f(a-h, b))/(2*h), (f(a, b+h)-f(a, b-h))/(2*h)
	return math.Hypot(da*ua, db*ub)
}

func TestDoubtOfWhatIsFitted(t *testing.T) {
	const leg, arc, uTip, uCrown = 900.0, 4200.0, 2.0, 3.0
	for _, radius := range []float64{1100, 1337, 2400} {
		r := Shape{radius, leg, arc}
		tip, crown := r.TipToTip(), r.CrownHeight()
		fit := func(pick func(Fit) float64) func(a, b float64) float64 {
			return func(a, b float64) float64 {
				f, err := FitRadius(a, b, leg, arc, uTip, uCrown)
				if err != nil {
					t.Fatal(err)
				}
				return pick(f)
			}
		}
		f, err := FitRadius(tip, crown, leg, arc, uTip, uCrown)
		if err != nil {
			t.Fatal(err)
		}
		close(t, "u of the radius", f.U, byReadings(t, fit(func(f Fit) float64 { return f.Radius }), tip, crown, uTip, uCrown), 1e-4*f.U)
		close(t, "limit of the gap", f.GapLimit, 2*byReadings(t, fit(func(f Fit) float64 { return f.CrownGap }),
			tip, crown, uTip, uCrown), 1e-4*f.GapLimit)
		// Where one reading is as good as known, the other alone has the residual.
		off, err := FitRadius(tip, crown+5, leg, arc, 1e-6, uCrown)
		if err != nil {
			t.Fatal(err)
		}
		close(t, "residual of the crown", off.ResidualCrown, 5, 1e-6)
		close(t, "residual of the tips", off.ResidualTip, 0, 1e-6)
		close(t, "gap", off.CrownGap, 5, 1e-6)

		split := func(pick func(Split) float64) func(a, b float64) float64 {
			return func(a, b float64) float64 {
				s, err := SplitWithUncertainty(a, b, leg, arc, 0.4, uTip, uCrown)
				if err != nil {
					t.Fatal(err)
				}
				return pick(s)
			}
		}
		s, err := SplitWithUncertainty(tip, crown, leg, arc, 0.4, uTip, uCrown)
		if err != nil {
			t.Fatal(err)
		}
		close(t, "u of the crown", s.UCrown, byReadings(t, split(func(s Split) float64 { return s.Crown }),
			tip, crown, uTip, uCrown), 1e-3*s.UCrown)
		close(t, "u of the shoulders", s.UShoulders, byReadings(t, split(func(s Split) float64 { return s.Shoulders }),
			tip, crown, uTip, uCrown), 1e-3*s.UShoulders)
		close(t, "u of the difference", s.UDifference, byReadings(t, split(func(s Split) float64 { return s.Crown - s.Shoulders }),
			tip, crown, uTip, uCrown), 1e-3*s.UDifference)

		c := r.HalfChord()
		l, err := LeanFromChords(c, c, leg, arc, 1.5)
		if err != nil {
			t.Fatal(err)
		}
		radiusOf := func(a, _ float64) float64 {
			v, err := radiusFromChord("chord_mm", a, leg, arc)
			if err != nil {
				t.Fatal(err)
			}
			return v
		}
		close(t, "u of a half", l.UA, byReadings(t, radiusOf, c, 0, 1.5, 0), 1e-4*l.UA)
		// 2 sqrt(2) u is 4.243 mm.
		for d, seen := range map[float64]bool{4.2: false, 4.3: true, -4.2: false, -4.3: true} {
			if l, err := LeanFromChords(c, c+d, leg, arc, 1.5); err != nil || l.Seen != seen {
				t.Errorf("chords %v mm apart: seen %v, %v", d, l.Seen, err)
			}
		}
	}
}

// The shape's terms are linear in the readings, so their doubt is that of each reading by itself, squared and added.
func TestDoubtOfAShape(t *testing.T) {
	rib := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	target := rib.Curve().Place()
	at := stations(rib.Arc, 3)
	const uTip, uCrown, uOffset = 2.0, 3.0, 0.5
	read := func(moved int) Curvature {
		r := readingOf(target, target, at, Rigid{})
		r.UTip, r.UCrown, r.UOffset = uTip, uCrown, uOffset
		r.ChordA, r.ChordB = nil, nil
		tip, crown := *r.Tip, *r.Crown
		switch {
		case moved == 0:
			tip += uTip
		case moved == 1:
			crown += uCrown
		case moved > 1:
			r.Offsets[moved-2].Value += uOffset
		}
		r.Tip, r.Crown = &tip, &crown
		s, err := target.FitCurvature(r, rib.Arc)
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	s := read(-1)
	var square [3]float64
	for moved := range 2 + len(at) {
		for i, k := range read(moved).K {
			square[i] += sq(k - s.K[i])
		}
	}
	for i := range square {
		if !s.Known[i] {
			t.Errorf("term %d is not known", i)
		}
		close(t, "u of a term", s.U[i], math.Sqrt(square[i]), 1e-6*s.U[i])
	}
}

// Corners of square-cut ends are half a bar off the end centres along the bar's normal; the crown's faces half a
// bar above and below its centre. The floor touches the lower corner.
func TestFacesByTheirCorners(t *testing.T) {
	const d = 12.7
	for _, r := range []Shape{{1337, 900, 4200}, {2400, 900, 4200}, {1000, 300, 3900}} {
		p, phi := r.Curve().Place(), r.HalfAngle()
		a, b := p.At(0), p.At(p.Length())
		ax, ay := p.Normal(0)
		bx, by := p.Normal(p.Length())
		for face, side := range map[Face]float64{Centre: 0, Inside: -1, Outside: 1} {
			close(t, "tips", TipAt(face, p.TipToTip(), d, phi), (b.X+side*d/2*bx)-(a.X+side*d/2*ax), 1e-6)
			close(t, "radius", RadiusAt(face, r.Radius, d), r.Radius+side*d/2, 1e-9)
			close(t, "radius back", radiusFrom(face, r.Radius+side*d/2, d), r.Radius, 1e-9)
			outer, inner := a.Y+d/2*ay, a.Y-d/2*ay
			top := p.CrownHeight() + side*d/2
			close(t, "crown from the outer corners", CrownAt(face, OuterCorners, p.CrownHeight(), d, phi), top-outer, 1e-6)
			close(t, "crown from the inner corners", CrownAt(face, InnerCorners, p.CrownHeight(), d, phi), top-inner, 1e-6)
			close(t, "crown from the floor", CrownAt(face, Floor, p.CrownHeight(), d, phi), top-math.Min(outer, inner), 1e-6)
		}
		close(t, "both ends alike", ay, by, 1e-9)
	}
}

// Near a straight bar sin(x)/x is taken from its series.
func TestSincNearZero(t *testing.T) {
	close(t, "just below the change", sinc(9.9e-5), math.Sin(9.9e-5)/9.9e-5, 1e-14)
}

// A term is seen beyond twice its uncertainty, and never where the readings do not reach it.
func TestTermsThatAreSeen(t *testing.T) {
	s := Curvature{K: [3]float64{2.1, -2.1, 1.9}, U: [3]float64{1, 1, 1}, Known: [3]bool{true, true, true}}
	if !s.Seen(0) || !s.Seen(1) || s.Seen(2) {
		t.Errorf("seen: %v %v %v, want the first two", s.Seen(0), s.Seen(1), s.Seen(2))
	}
	if s.Known[0] = false; s.Seen(0) {
		t.Error("a term that is not known is seen")
	}
}
