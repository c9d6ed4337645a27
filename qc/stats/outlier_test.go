package stats

import (
	"math"
	"testing"
)

// NIST/SEMATECH e-Handbook 1.3.5.17.1 (data of Tietjen and Moore 1972): G 2.4687, one-sided 5 % point
// 2.032, two-sided 2.126, 245.57 rejected.
func TestGrubbs(t *testing.T) {
	x := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	g := must[Grubbs](t)(GrubbsTest(x, 0.05, "max"))
	printed(t, "G", g.G, 2.4687, 3)
	printed(t, "critical", g.Critical, 2.032, 3)
	if g.Index != 7 || !g.Reject {
		t.Errorf("%+v", g)
	}
	near(t, "two-sided", must[Grubbs](t)(GrubbsTest(x, 0.05, "both")).Critical, 2.126, 0, 1e-3) // 2.1266, printed cut off
	low := must[Grubbs](t)(GrubbsTest(x, 0.05, "min"))
	if low.Index != 0 || low.Reject {
		t.Errorf("the smallest: %+v", low)
	}
	_, err := GrubbsTest(x, 0.05, "either")
	refused(t, "side", err, BadChoice, "side")
	_, err = GrubbsTest(x, 1, "max")
	refused(t, "alpha", err, OutOfRange, "alpha")
	_, err = GrubbsTest(x[:2], 0.05, "max")
	refused(t, "two values", err, TooFewPoints, "x")
	_, err = GrubbsTest([]float64{1, 1, 1}, 0.05, "max")
	refused(t, "no spread", err, NoSpread, "x")
	tiny := must[Grubbs](t)(GrubbsTest(x, 1e-300, "max"))
	near(t, "critical at nothing", tiny.Critical, 7/math.Sqrt(8), 1e-9, 0)
}

// Grubbs 1969, table for one-sided 5 % (confirmed in public copies).
func TestGrubbsTable(t *testing.T) {
	for n, want := range map[int]float64{3: 1.1531, 4: 1.4625, 5: 1.6714, 6: 1.8221, 7: 1.9381, 8: 2.0317, 9: 2.1096, 10: 2.1761, 20: 2.5566} {
		x := make([]float64, n)
		x[0] = 1
		near(t, "critical", must[Grubbs](t)(GrubbsTest(x, 0.05, "max")).Critical, want, 0, 1e-4)
	}
}
