package bend

import (
	"math"
	"strings"
	"testing"
)

// A nominal diameter is that of the plain bar of equal mass: area pi d^2/4 and mass at 7850 kg/m^3 (the
// definition in ASTM A615 and BS 4449) must agree with the tables; A615 rounds millimetres and areas to a percent or two.
func TestSizesAgreeWithTheirDefinition(t *testing.T) {
	if len(Sizes()) != 19 {
		t.Fatalf("%d sizes", len(Sizes()))
	}
	for _, s := range Sizes() {
		area := math.Pi * s.Diameter * s.Diameter / 4
		within(t, s.Name+" area", s.Area, area, 0.02*area+0.06)
		within(t, s.Name+" mass", s.Mass, area*7850e-6, 0.012*area*7850e-6)
		if s.Source == "" || s.Trust == "" {
			t.Errorf("%s has no source", s.Name)
		}
	}
}

func TestLeastBendIsTheStrictest(t *testing.T) {
	for _, c := range []struct{ d, want float64 }{{12, 72}, {16, 96}, {20, 140}, {32, 256}} {
		within(t, "least bend", LeastBend(c.d), c.want, 1e-9)
	}
	if got := TipTolerance(2700).Plus; got != 50.8 {
		t.Errorf("tolerance of 2.7 m is %v, want 2 in", got)
	}
	within(t, "tolerance of 5 m", TipTolerance(5000).Plus, 75, 1e-9)
	for _, x := range Tolerances() {
		if strings.HasPrefix(x.Source, "BS 8666") && x.Trust != FromMemory {
			t.Errorf("%s is not confirmed", x.What)
		}
	}
}
