package stats

import (
	"math"
	"slices"
)

// Normality is the Anderson-Darling test with mean and standard deviation estimated.
type Normality struct {
	A2     float64 `json:"a2" doc:"Anderson-Darling statistic"`
	A2Star float64 `json:"a2_star" doc:"corrected for the count"`
	P      float64 `json:"p" doc:"chance of a larger one from a normal distribution"` // approximate below n = 8
}

// AndersonDarling tests at least three values (D'Agostino and Stephens 1986, Goodness-of-Fit Techniques,
// table 4.9 case 3: A2* = A2 (1 + 0.75/n + 2.25/n^2) and its four formulas for p).
func AndersonDarling(x []float64) (Normality, error) {
	if err := checkData("x", x, 3); err != nil {
		return Normality{}, err
	}
	m, s := mean(x), sd(x)
	if !(s > 0) {
		return Normality{}, refuse(NoSpread, "x", "all values are equal; there is no spread to test")
	}
	z := slices.Clone(x)
	slices.Sort(z)
	n := len(z)
	var sum compensated
	for i, v := range z {
		w := z[n-1-i]
		sum.add(float64(2*i+1) * (logNormalCDF((v-m)/s) + logNormalCDF(-(w-m)/s)))
	}
	f := float64(n)
	t := Normality{A2: -f - sum.value()/f}
	t.A2Star = t.A2 * (1 + 0.75/f + 2.25/(f*f))
	a := t.A2Star
	switch {
	case a >= 10: // beyond the fit of the formula, which would turn upwards
		t.P = 3.7e-24
	case a >= 0.6:
		t.P = math.Exp(1.2937 - 5.709*a + 0.0186*a*a)
	case a > 0.34:
		t.P = math.Exp(0.9177 - 4.279*a - 1.38*a*a)
	case a > 0.2:
		t.P = 1 - math.Exp(-8.318+42.796*a-59.938*a*a)
	default:
		t.P = 1 - math.Exp(-13.436+101.14*a-223.73*a*a)
	}
	return t, nil
}
