package stats

import (
	"math"
	"testing"
)

// JCGM 100:2008 H.1, end gauge: printed contributions 25, 9.7, 2.9 and 16.6 nm; printed u_c 32 nm,
// nu_eff 16, t99 = 2.92, U99 = 93 nm. The squares of the printed contributions sum to 1003.06 (prints
// 1002). Degrees of freedom 18, 25.6, 50 and 2 as given there.
func TestEndGaugeBudget(t *testing.T) {
	b := must[Combined](t)(Combine(0.99, []Part{{"standard", 25, 18}, {"difference", 9.7, 25.6}, {"expansion", 2.9, 50}, {"temperature", 16.6, 2}}))
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

// JCGM 100:2008 5.2.2, example: ten resistors of 1000 ohm calibrated against one standard with u = 100
// milliohm: fully correlated, the series has 1 ohm; taken as independent it would have 0.32 ohm.
func TestCorrelatedParts(t *testing.T) {
	parts := make([]Part, 10)
	var all []Correlated
	for i := range parts {
		parts[i] = Part{"resistor", 0.1, math.Inf(1)}
		for j := range i {
			all = append(all, Correlated{i, j, 1})
		}
	}
	near(t, "correlated", must[Combined](t)(Combine(0.95, parts, all...)).U, 1, 1e-12, 0)
	b := must[Combined](t)(Combine(0.95, parts))
	printed(t, "independent", b.U, 0.32, 2)
	if !math.IsInf(b.Dof, 1) {
		t.Errorf("degrees of freedom of known parts are %g, want infinite", b.Dof)
	}
	near(t, "coverage", b.Coverage, 1.959963984540054, 1e-12, 0) // R 4.2: qnorm(.975)
	_, err := Combine(0.95, parts[:2], Correlated{0, 1, -1.5})
	refused(t, "r = -1.5", err, OutOfRange, "correlated")
	_, err = Combine(0.95, parts[:3], Correlated{0, 1, -1}, Correlated{0, 2, -1}, Correlated{1, 2, -1})
	refused(t, "impossible correlations", err, OutOfRange, "correlated")
	z := must[Combined](t)(Combine(0.95, []Part{{"nothing", 0, 5}}))
	if z.U != 0 || z.Expanded != 0 || math.IsNaN(z.Coverage) {
		t.Errorf("a budget of nothing: %+v", z)
	}
	_, err = Combine(0.95, nil)
	refused(t, "no parts", err, TooFewPoints, "parts")
	_, err = Combine(0.95, []Part{{"x", 1, 0}})
	refused(t, "no degrees of freedom", err, OutOfRange, "x")
	_, err = Combine(1, parts)
	refused(t, "coverage 1", err, OutOfRange, "coverage")
}

// Directive 2014/32/EU, Annex MI-008: limits at 2 m are 0.3, 0.7 and 1.4 mm, hooked class II 0.9 mm.
func TestTapeLimit(t *testing.T) {
	for _, c := range []struct {
		class  TapeClass
		length float64
		end    bool
		want   float64
	}{
		{"I", 2000, false, 0.3}, {"II", 2000, false, 0.7}, {"III", 2000, false, 1.4}, {"II", 2000, true, 0.9},
		{"I", 2000.001, false, 0.4}, {"I", 1, false, 0.2}, {"I", 1000, true, 0.3}, {"III", 10_000, true, 4.9}, {"II", 3000, false, 0.9},
	} {
		got := must[float64](t)(TapeLimit(c.class, c.length, c.end))
		if got != c.want {
			t.Errorf("class %s at %g mm is %v, want %v", c.class, c.length, got, c.want)
		}
	}
	_, err := TapeLimit("IV", 2000, false)
	refused(t, "class IV", err, BadChoice, "class")
	for _, l := range []float64{0, -1, math.NaN(), math.Inf(1), 1e7} {
		_, err = TapeLimit("I", l, false)
		refused(t, "impossible length", err, OutOfRange, "length_mm")
	}
}

// Contributions of JCGM 100:2008 4.3 and F.2.2.1: 0.01 mm steps 0.0029 mm, 1 mm steps 0.289 mm.
func TestParts(t *testing.T) {
	printed(t, "caliper", Resolution("r", 0.01).U, 0.0029, 4)
	printed(t, "tape", Resolution("r", 1).U, 0.289, 3)
	near(t, "triangular", Triangular("t", 6).U, math.Sqrt(6), 1e-15, 0)
	near(t, "certificate", Certificate("c", 0.4, 2).U, 0.2, 1e-15, 0)
	near(t, "half-band", HalfBand(2674.2, 2673.0).U, 0.6/math.Sqrt(3), 1e-12, 0)
	b := must[Combined](t)(TapeBudget(TapeUse{LengthMM: 2000, DivisionMM: 1, Class: "II", RepeatSDMM: 0, RepeatDof: 5, Readings: 1}))
	if !math.IsInf(b.Dof, 1) {
		t.Errorf("without scatter the degrees of freedom are %g", b.Dof)
	}
	for field, use := range map[string]TapeUse{
		"division_mm":             {LengthMM: 1, Class: "I", RepeatDof: 1, Readings: 1},
		"repeat_sd_mm":            {LengthMM: 1, Class: "I", DivisionMM: 1, RepeatSDMM: -1, RepeatDof: 1, Readings: 1},
		"repeat_dof":              {LengthMM: 1, Class: "I", DivisionMM: 1, Readings: 1},
		"readings":                {LengthMM: 1, Class: "I", DivisionMM: 1, RepeatDof: 1},
		"alpha_tape_per_k":        {LengthMM: 1, Class: "I", DivisionMM: 1, RepeatDof: 1, Readings: 1, AlphaTapePerK: 11.5},
		"alpha_bar_per_k":         {LengthMM: 1, Class: "I", DivisionMM: 1, RepeatDof: 1, Readings: 1, AlphaBarPerK: -1e-6},
		"temperature_halfwidth_k": {LengthMM: 1, Class: "I", DivisionMM: 1, RepeatDof: 1, Readings: 1, TemperatureHalfwidthK: math.NaN()},
	} {
		_, err := TapeBudget(use)
		refused(t, field, err, OutOfRange, field)
	}
}

// Geometry: 30 mm aside in 2 m reads 0.22499 mm long, 63 mm reads 1.0 mm; over 0 to 20 mm the mean is
// 0.0333 and the spread 0.0298 mm. Tape of 0.15 N/m over 2 m at 20 N: 0.02 mm (formula from memory).
func TestOneSidedEffects(t *testing.T) {
	printed(t, "30 mm aside", CosineExcess(2000, 30), 0.22499, 5)
	printed(t, "63 mm aside", CosineExcess(2000, 63), 1.0, 1)
	if CosineExcess(2000, 0) != 0 {
		t.Error("straight reads long")
	}
	m, s := CosineSpread(2000, 20)
	printed(t, "mean", m, 0.0333, 4)
	printed(t, "spread", s, 0.0298, 4)
	printed(t, "sag", 1000*SagExcess(0.15, 2, 20), 0.02, 2)
	near(t, "at 20 C", must[float64](t)(At20C(10001, 30, 20, 1e-5, 1e-5)), 10000, 1e-6*1e-3, 0.0001)
	_, err := At20C(10001, -274, 20, 0, 0)
	refused(t, "colder than can be", err, OutOfRange, "bar_c")
}
