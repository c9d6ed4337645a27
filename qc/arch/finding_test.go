package arch

import (
	"strings"
	"testing"
)

// The same difference is told with a good tape and not told with a bad one; the sign names the place.
func TestFindingsSayWhatCannotBeTold(t *testing.T) {
	r := Shape{Radius: 1337, Leg: 900, Arc: 4200}
	for _, c := range []struct {
		by   float64 // crown height off, mm
		u    float64
		gap  string
		part string
	}{{0, 1, "cannot tell", "cannot tell"}, {12, 1, "peaked", "peaked"}, {-12, 1, "flat", "flat"}, {12, 20, "cannot tell", "cannot tell"}} {
		f, err := FitRadius(r.TipToTip(), r.CrownHeight()+c.by, r.Leg, r.Arc, c.u, c.u)
		if err != nil {
			t.Fatal(err)
		}
		if got := GapFinding(f); !strings.Contains(got, c.gap) {
			t.Errorf("%+v: %s", c, got)
		}
		s, err := SplitWithUncertainty(r.TipToTip(), r.CrownHeight()+c.by, r.Leg, r.Arc, 0.5, c.u, c.u)
		if err != nil {
			t.Fatal(err)
		}
		if got := SplitFinding(s); !strings.Contains(got, c.part) {
			t.Errorf("%+v: %s", c, got)
		}
	}
	h := r.HalfChord()
	for _, c := range []struct {
		a, b, u float64
		want    string
	}{{h + 10, h - 10, 2, "half of leg A is bent less"}, {h - 10, h + 10, 2, "half of leg B is bent less"},
		{h + 10, h - 10, 9, "cannot tell"}, {h, h, 0, "cannot tell"}} {
		l, err := LeanFromChords(c.a, c.b, r.Leg, r.Arc, c.u)
		if err != nil {
			t.Fatal(err)
		}
		if got := LeanFinding(l); !strings.Contains(got, c.want) {
			t.Errorf("%+v: %s", c, got)
		}
	}
}
