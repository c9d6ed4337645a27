package stats

import (
	"math"
	"math/rand/v2"
	"testing"
)

// JCGM 106:2012, breakdown voltage (from memory): limit -5.40 V, measured -5.47 V, u 0.05 V give 0.92.
func TestConformity(t *testing.T) {
	if p := must[float64](t)(Conformity(100, 1, -3, 3)); p < 0 || p > 1e-300 {
		t.Errorf("far out: %v", p)
	}
	printed(t, "conformity", must[float64](t)(Conformity(-5.47, 0.05, math.Inf(-1), -5.40)), 0.92, 2)
	near(t, "conformity", must[float64](t)(Conformity(-5.47, 0.05, math.Inf(-1), -5.40)), 0.9192433407662289, 1e-12, 0)    // R 4.2: pnorm(1.4)
	near(t, "far out keeps digits", must[float64](t)(Conformity(20, 1, math.Inf(-1), 0)), 2.7536241186062337e-89, 1e-9, 0) // R 4.2: pnorm(-20)
	_, err := Conformity(0, 0, -1, 1)
	refused(t, "u = 0", err, OutOfRange, "u")
	_, err = Conformity(0, 1, 1, 1)
	refused(t, "limits equal", err, OutOfRange, "lower")
}

// JCGM 106:2012, resistors (from memory): process 1500 +- 0.12 ohm, limits +-0.2, u 0.04, guard 0.02; and
// three ways of computing the same: simulation, mirror image, sums.
func TestGlobalRisk(t *testing.T) {
	r := must[Risk](t)(GlobalRisk(1500, 0.12, 1499.8, 1500.2, 0.04, 0.02))
	printed(t, "consumer", r.FalseAccept, 0.01, 2)
	printed(t, "producer", r.FalseReject, 0.07, 2)

	rng := rand.New(rand.NewPCG(106, 1))
	const n = 400_000
	var fa, fr float64
	for range n {
		y := 0.3 + 1.1*rng.NormFloat64()
		m := y + 0.4*rng.NormFloat64()
		in, accept := math.Abs(y) <= 2, math.Abs(m) <= 1.8
		if !in && accept {
			fa++
		}
		if in && !accept {
			fr++
		}
	}
	r = must[Risk](t)(GlobalRisk(0.3, 1.1, -2, 2, 0.4, 0.2))
	near(t, "consumer, simulated", fa/n, r.FalseAccept, 0, 4*math.Sqrt(r.FalseAccept/n))
	near(t, "producer, simulated", fr/n, r.FalseReject, 0, 4*math.Sqrt(r.FalseReject/n))
	m := must[Risk](t)(GlobalRisk(-0.3, 1.1, -2, 2, 0.4, 0.2))
	near(t, "mirrored consumer", m.FalseAccept, r.FalseAccept, 1e-10, 0)
	near(t, "mirrored producer", m.FalseReject, r.FalseReject, 1e-10, 0)

	// Good parts are accepted or falsely rejected; all accepted ones measure within the limits.
	good := normalCDF(1.7/1.1) - normalCDF(-2.3/1.1)
	seen := math.Hypot(1.1, 0.4)
	accepted := normalCDF(1.5/seen) - normalCDF(-2.1/seen)
	near(t, "good and accepted", good-r.FalseReject, accepted-r.FalseAccept, 1e-10, 0)

	// A perfect gauge; one guard past the middle; a gauge a thousand times coarser and finer.
	r = must[Risk](t)(GlobalRisk(0, 1, -2, 2, 0, 0.5))
	near(t, "perfect gauge rejects", r.FalseReject, 2*(normalCDF(2)-normalCDF(1.5)), 1e-12, 0)
	if r.FalseAccept != 0 {
		t.Errorf("a perfect gauge accepted %g wrongly", r.FalseAccept)
	}
	r = must[Risk](t)(GlobalRisk(0, 1, -2, 2, 0, -0.5))
	near(t, "perfect gauge, widened", r.FalseAccept, 2*(normalCDF(2.5)-normalCDF(2)), 1e-12, 0)
	r = must[Risk](t)(GlobalRisk(0, 1, -2, 2, 0.1, 3))
	near(t, "nothing accepted", r.FalseReject, normalCDF(2)-normalCDF(-2), 1e-12, 0)
	r = must[Risk](t)(GlobalRisk(0, 1, -2, 2, 1e-4, 0))
	// Near a limit the two errors balance: phi(2) u / sqrt(2 pi) on each side.
	near(t, "fine gauge", r.FalseAccept, 2*normalPDF(2)*1e-4/math.Sqrt(2*math.Pi), 1e-3, 0)
	near(t, "fine gauge", r.FalseReject, r.FalseAccept, 1e-2, 0)
	r = must[Risk](t)(GlobalRisk(0, 1e-4, -2, 2, 1, 0))
	near(t, "tight process", r.FalseReject, 2*normalCDF(-2), 1e-6, 0)
	for field, f := range map[string]func() (Risk, error){
		"process_sd": func() (Risk, error) { return GlobalRisk(0, 0, -1, 1, 1, 0) },
		"lower":      func() (Risk, error) { return GlobalRisk(0, 1, 1, -1, 1, 0) },
		"u":          func() (Risk, error) { return GlobalRisk(0, 1, -1, 1, -1, 0) },
		"guard":      func() (Risk, error) { return GlobalRisk(0, 1, -1, 1, 1, math.NaN()) },
	} {
		_, err := f()
		refused(t, field, err, OutOfRange, field)
	}
}
