package stats

import (
	"math"
	"testing"
)

// JCGM 100:2008 H.1, end gauge: printed contributions 25, 9.7, 2.9 and 16.6 nm; printed u_c 32 nm,
// nu_eff 16, t99 = 2.92, U99 = 93 nm. The squares of the printed contributions sum to 1003.06 (prints
// 1002). Degrees of freedom 18, 25.6, 50 and 2 as given there.
func TestEndGaugeBudget(t *testing.T) {
	b := must[Combined](t)(Combine(0.99, []Part{{"standard", 25, 18}, {"difference", 9.7, 25.6},
		{"expansion", 2.9, 50}, {"temperature", 16.6, 2}}))
	near(t, "variance", b.U*b.U, 1003.06, 1e-12, 0)
	printed(t, "u_c", b.U, 32, 0)
	near(t, "nu_eff", b.Dof, 16.73, 0, 0.05) // from the printed 1002
	printed(t, "t99", b.Coverage, 2.92, 2)
	printed(t, "U99", b.Expanded, 92.5, 1)
}

// JCGM 100:2008 G.4.1 (from memory): relative 0.25, 0.57 and 0.82 % from 10, 5 and 15 readings give
// 1.03 %, nu_eff 19.0, U95 2.2 %.
func TestThreeInputsBudget(t *testing.T) {
	b := must[Combined](t)(Combine(0.95, []Part{{"1", .25, 9}, {"2", .57, 4}, {"3", .82, 14}}))
	printed(t, "u", b.U, 1.03, 2)
	printed(t, "nu_eff", b.Dof, 19.0, 1)
	printed(t, "U95", b.Expanded, 2.2, 1)
}

// Ten parts of 100 milliohm taken as independent have 0.32 ohm (JCGM 100:2008 5.2.2, example), and known
// parts leave the normal distribution.
func TestKnownParts(t *testing.T) {
	parts := make([]Part, 10)
	for i := range parts {
		parts[i] = Part{"resistor", 0.1, math.Inf(1)}
	}
	b := must[Combined](t)(Combine(0.95, parts))
	printed(t, "independent", b.U, 0.32, 2)
	if !math.IsInf(b.Dof, 1) {
		t.Errorf("degrees of freedom of known parts are %g, want infinite", b.Dof)
	}
	near(t, "coverage", b.Coverage, 1.959963984540054, 1e-12, 0) // R 4.2: qnorm(.975)
	z := must[Combined](t)(Combine(0.95, []Part{{"nothing", 0, 5}}))
	if z.U != 0 || z.Expanded != 0 || math.IsNaN(z.Coverage) {
		t.Errorf("a budget of nothing: %+v", z)
	}
	_, err := Combine(0.95, nil)
	refused(t, "no parts", err, TooFewPoints, "parts")
	_, err = Combine(0.95, []Part{{"x", 1, 0}})
	refused(t, "no degrees of freedom", err, OutOfRange, "x")
	_, err = Combine(1, parts)
	refused(t, "coverage 1", err, OutOfRange, "coverage")
}

// Geometry: 30 mm aside in 2 m reads 0.22499 mm long, 63 mm reads 1.0 mm.
func TestOneSidedEffects(t *testing.T) {
	printed(t, "30 mm aside", CosineExcess(2000, 30), 0.22499, 5)
	printed(t, "63 mm aside", CosineExcess(2000, 63), 1.0, 1)
	if CosineExcess(2000, 0) != 0 {
		t.Error("straight reads long")
	}
	near(t, "at 20 C", must[float64](t)(At20C(10001, 30, 20, 1e-5, 1e-5)), 10000, 1e-6*1e-3, 0.0001)
	_, err := At20C(10001, -274, 20, 0, 0)
	refused(t, "colder than can be", err, OutOfRange, "bar_c")
}
