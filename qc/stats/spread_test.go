package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// NIST/SEMATECH e-Handbook 6.1.6: limits 8 and 20, mean 16, s 2: Cp 1.0, Cpk 0.6667; Cpm for 14 computed
// by its definition. Chi-square and normal points from R 4.2.
func TestCapability(t *testing.T) {
	c := must[Capability](t)(ProcessCapability(8, 20, 16, 2, 14, 20, 0.95))
	near(t, "cp", c.Cp, 1, 1e-15, 0)
	printed(t, "cpk", c.Cpk, 0.6667, 4)
	printed(t, "cpm", c.Cpm, 0.7071, 4)
	near(t, "cp low", c.CpLow, 0.684663439485261, 1e-12, 0)  // sqrt(qchisq(.025,19)/19)
	near(t, "cp high", c.CpHigh, 1.31494100051214, 1e-12, 0) // sqrt(qchisq(.975,19)/19)
	u := math.Sqrt(1.0/180 + 4.0/9/38)
	near(t, "cpk low", c.CpkLow, 2.0/3-1.959963984540054*u, 1e-12, 0)
	near(t, "cpk high", c.CpkHigh, 2.0/3+1.959963984540054*u, 1e-12, 0)
	near(t, "cpk one-sided", c.CpkLowOneSided, 2.0/3-1.644853626951473*u, 1e-12, 0)
	near(t, "out above", c.AboveUpper, 0.022750131948179195, 1e-12, 0)
	// With 20 values a Cpk of 1.33 is compatible with 0.88 (Bissell 1990, two-sided 95 %).
	b := must[Capability](t)(ProcessCapability(-4, 4, 0, 4/1.33/3, 0, 20, 0.95))
	printed(t, "1.33 of 20", b.CpkLow, 0.88, 2)
	// A mean outside the limits is a capability below zero, not an error.
	if n := must[Capability](t)(ProcessCapability(8, 20, 25, 2, 14, 50, 0.95)); n.Cpk >= 0 || math.IsNaN(n.CpkLow) {
		t.Errorf("a mean outside: %+v", n)
	}
	for field, f := range map[string]func() (Capability, error){
		"sd":         func() (Capability, error) { return ProcessCapability(0, 1, 0, 0, 0, 5, 0.95) },
		"lower":      func() (Capability, error) { return ProcessCapability(1, 0, 0, 1, 0, 5, 0.95) },
		"confidence": func() (Capability, error) { return ProcessCapability(0, 1, 0, 1, 0, 5, 1) },
	} {
		_, err := f()
		refused(t, field, err, OutOfRange, field)
	}
	_, err := ProcessCapability(0, 1, 0, 1, 0, 1, 0.95)
	refused(t, "one value", err, TooFewPoints, "n")
	near(t, "3-4-5", must[float64](t)(PartSpread(5, 3)), 4, 1e-15, 0)
	near(t, "all gauge", must[float64](t)(PartSpread(3, 5)), 0, 0, 0)
}

// R 4.2: binom.test.
func TestFractionOut(t *testing.T) {
	for _, c := range []struct {
		k, n      int
		low, high float64
	}{{0, 24, 0, 0.142473597722526}, {2, 24, 0.0102563412812502, 0.269972801557604}, {24, 24, 1 - 0.142473597722526, 1}} {
		low, high, err := FractionOut(c.k, c.n, 0.95)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "low", low, c.low, 1e-9, 0)
		near(t, "high", high, c.high, 1e-9, 0)
	}
	_, _, err := FractionOut(5, 4, 0.95)
	refused(t, "5 of 4", err, OutOfRange, "k")
}

// D'Agostino and Stephens 1986, ch. 4, weights of twenty chicks: A2 0.214, A2* 0.223, p 0.826.
func TestAndersonDarling(t *testing.T) {
	x := []float64{156, 162, 168, 182, 186, 190, 190, 196, 202, 210, 214, 220, 226, 230, 230, 236, 236, 242, 246, 270}
	a := must[Normality](t)(AndersonDarling(x))
	printed(t, "A2", a.A2, 0.214, 3)
	printed(t, "A2*", a.A2Star, 0.223, 3)
	printed(t, "p", a.P, 0.826, 3)
	// Under normality p is uniform: of 4000 samples about a twentieth lie below 0.05.
	rng := rand.New(rand.NewPCG(1986, 4))
	below := 0
	for range 4000 {
		y := make([]float64, 20)
		for i := range y {
			y[i] = rng.NormFloat64()
		}
		if must[Normality](t)(AndersonDarling(y)).P < 0.05 {
			below++
		}
	}
	if below < 150 || below > 250 {
		t.Errorf("%d of 4000 normal samples lie below p = 0.05, want about 200", below)
	}
	far := append(slices.Repeat([]float64{0, 1}, 2000), 1e6)
	if f := must[Normality](t)(AndersonDarling(far)); !(f.P >= 0 && f.P < 1e-20) || math.IsInf(f.A2, 0) {
		t.Errorf("a value a million off: %+v", f)
	}
	_, err := AndersonDarling([]float64{1, 1, 1})
	refused(t, "no spread", err, NoSpread, "x")
	_, err = AndersonDarling([]float64{1, 2})
	refused(t, "two values", err, TooFewPoints, "x")
}

// NIST/SEMATECH e-Handbook 7.2.6.3: n 43, 90 % with 99 %: one-sided 1.8740 by noncentral t; the page's
// two-sided 2.2173 is Howe's approximation of the exact 2.2228. Common 95/95 tables print 3.379 and 2.752 for 10
// and 20 (Howe); exact 3.393 and 2.760. One-sided 2.911, 2.396 and 2.220 agree with R's qt with ncp.
func TestToleranceFactors(t *testing.T) {
	for _, c := range []struct {
		n                int
		cover, conf      float64
		one, two, digits float64
	}{
		{43, .9, .99, 1.8740, 2.2228, 4}, {10, .95, .95, 2.911, 3.393, 3}, {20, .95, .95, 2.396, 2.760, 3},
	} {
		one, two, err := ToleranceFactors(c.n, c.cover, c.conf)
		if err != nil {
			t.Fatal(err)
		}
		printed(t, "one-sided", one, c.one, int(c.digits))
		printed(t, "two-sided", two, c.two, int(c.digits))
	}
	one, _, err := ToleranceFactors(30, .95, .95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "R 4.2", one, 2.2198375320369, 1e-9, 0)
	// With ever more values the factors come down to the normal points.
	one, two, err := ToleranceFactors(1_000_000, .95, .95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "one-sided, a million", one, 1.644853626951473, 0, 0.005)
	near(t, "two-sided, a million", two, 1.959963984540054, 0, 0.005)
	// Two values: the one-sided factor for half the population is Student's t over sqrt n, t_{.95,1}.
	one, _, err = ToleranceFactors(2, .5, .95)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half of the population", one, 6.313751514675043/math.Sqrt2, 1e-9, 0)
	_, _, err = ToleranceFactors(1, .9, .9)
	refused(t, "one value", err, TooFewPoints, "n")
	_, _, err = ToleranceFactors(5, 1, .9)
	refused(t, "coverage", err, OutOfRange, "coverage")
	_, _, err = ToleranceFactors(5, .9, 0)
	refused(t, "confidence", err, OutOfRange, "confidence")
}

func TestPropertyToleranceFactors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 300).Draw(t, "n")
		cover := rapid.Float64Range(0.55, 0.99999).Draw(t, "coverage")
		conf := rapid.Float64Range(0.5, 0.99999).Draw(t, "confidence")
		one, two, err := ToleranceFactors(n, cover, conf)
		if err != nil || !(one > 0 && two > one) || math.IsInf(two, 0) {
			t.Fatalf("one-sided %g, two-sided %g, %v", one, two, err)
		}
		more, _, err := ToleranceFactors(n+1, cover, conf)
		if err != nil || more > one*(1+1e-9) && conf > 0.6 {
			t.Fatalf("one more value widened %g to %g (%v)", one, more, err)
		}
	})
}

func TestFarTolerances(t *testing.T) {
	for _, c := range [][3]float64{{2, 0.999999, 0.9999}, {2, 1e-6, 1e-6}, {3, 0.5, 0.5},
		{1e6, 0.999999, 0.999999}, {2, 0.999999999, 0.5}, {50, 1e-9, 0.99}} {
		one, two, err := ToleranceFactors(int(c[0]), c[1], c[2])
		if err != nil || math.IsNaN(one) || math.IsInf(one, 0) || !(two > 0) || math.IsInf(two, 0) {
			t.Errorf("%v: %g, %g, %v", c, one, two, err)
		}
		t.Logf("%v: %g, %g", c, one, two)
	}
}

// Wilks (1941): 93 is the least count whose smallest and largest hold 95 % of any distribution with 95 %
// confidence; a handbook figure, from memory.
func TestOrderCoverage(t *testing.T) {
	if p := must[float64](t)(OrderCoverage(93, 0.95)); p < 0.95 {
		t.Errorf("93 values hold %v", p)
	}
	if p := must[float64](t)(OrderCoverage(92, 0.95)); p >= 0.95 {
		t.Errorf("92 values hold %v", p)
	}
	// 1 - n p^(n-1) + (n-1) p^n is the confidence (the beta distribution written out).
	for _, n := range []int{2, 10, 24, 1000, 10000} {
		p, f := must[float64](t)(OrderCoverage(n, 0.95)), float64(n)
		near(t, "confidence", 1-f*math.Pow(p, f-1)+(f-1)*math.Pow(p, f), 0.95, 1e-9, 0)
	}
}

// R 4.2: qnorm(q/2)^2 for one degree of freedom and -2 log(q) for two, exact forms; qchisq itself is only
// good to ten digits there.
func TestChiSquareFarTail(t *testing.T) {
	near(t, "1e-14 on 1", chi2TailQuantile(1e-14, 1), 59.89608837898838, 1e-12, 0)
	near(t, "1e-14 on 2", chi2TailQuantile(1e-14, 2), 64.47238260383328, 1e-12, 0)
	near(t, "5e-17 on 1", chi2TailQuantile(5e-17, 1), 70.33665307915068, 1e-12, 0)
	c := must[Capability](t)(ProcessCapability(-3, 3, 0, 1, 0, 30, 1-1e-16))
	if math.IsInf(c.CpHigh, 0) || math.IsInf(c.CpkLowOneSided, 0) {
		t.Errorf("bounds at the last confidence before certainty: %+v", c)
	}
}
