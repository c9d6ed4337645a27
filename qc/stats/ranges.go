package stats

import "math"

// rangeCDF is P(R <= r) for the range of n standard normal values: n int phi(x) (Phi(x+r)-Phi(x))^(n-1) dx.
func rangeCDF(r float64, n int) float64 {
	if r <= 0 {
		return 0
	}
	return math.Min(1, float64(n)*integral(func(x float64) float64 {
		return normalPDF(x) * math.Pow(between(x, x+r), float64(n-1))
	}, 1e-14, -8-r, -r-2, -r, -r/2, 0, 2, 8))
}

// CriticalRange is the factor by which the repeatability standard deviation is multiplied for the range of
// n readings that is exceeded with probability 1 - confidence (ISO 5725-6 4.1.4; n = 2 at 95 % is the
// repeatability limit 2.77, printed there as 2.8).
func CriticalRange(n int, confidence float64) (float64, error) {
	if n < 2 || n > 100 {
		return 0, refuse(OutOfRange, "n", "is %d; a range needs 2 to 100 readings", n)
	}
	if err := checkFraction("confidence", confidence); err != nil {
		return 0, err
	}
	if n == 2 { // the difference of two, whose standard deviation is root 2: in closed form, since every repeat asks
		return math.Sqrt2 * normalQuantile((1+confidence)/2), nil
	}
	return root(func(r float64) float64 { return rangeCDF(r, n) - confidence }, 0, 20), nil
}
