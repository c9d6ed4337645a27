package stats

import (
	"math/rand/v2"
	"testing"
)

// BenchmarkWholeBatch is every statistic over a batch of 10,000 ribs; the aim is under 200 ms.
func BenchmarkWholeBatch(b *testing.B) {
	rng := rand.New(rand.NewPCG(6, 1))
	x := make([]float64, 10_000)
	for i := range x {
		x[i] = 0.0001*float64(i) + rng.NormFloat64()
	}
	check := func(_ any, err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	for b.Loop() {
		s, err := Summarise(x)
		check(s, err)
		c, err := ChartIndividuals(x)
		check(c, err)
		z := make([]float64, len(x))
		for i, v := range x {
			z[i] = (v - c.Mean) / c.Sigma
		}
		for _, r := range ChartRules() {
			r.First(z)
		}
		e, err := ChartEWMA(x, 0.2, s.Mean, c.Sigma, 2.962)
		check(e, err)
		u, err := ChartCUSUM(x, s.Mean, c.Sigma/2, 5*c.Sigma)
		check(u, err)
		k, err := MannKendall(x)
		check(k, err)
		p, err := ChangePoint(x)
		check(p, err)
		a, err := AndersonDarling(x)
		check(a, err)
		cap, err := ProcessCapability(-4, 4, s.Mean, s.SD, 0, s.N, 0.95)
		check(cap, err)
		g, err := GrubbsTest(x, 0.05, "both")
		check(g, err)
		_, _, err = ToleranceFactors(s.N, 0.95, 0.95)
		check(nil, err)
		r, err := GlobalRisk(s.Mean, s.SD, -4, 4, 0.3, 0.5)
		check(r, err)
	}
}
