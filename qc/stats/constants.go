package stats

import "math"

// ChartConstants are the factors for charts of subgroups of n (ISO 7870-2 names): D2 and D3 are the mean and
// standard deviation of the range of n standard normal values, C4 the mean of their standard deviation.
type ChartConstants struct {
	D2, D3, C4 float64
	A2, A3     float64 // limits of the mean from mean range and mean standard deviation
	LowR, UpR  float64 // D3 and D4 of the tables: limits of the range
	LowS, UpS  float64 // B3 and B4 of the tables: limits of the standard deviation
}

// ConstantsFor computes the factors for subgroups of 2 to 100 (Tippett 1925; Harter 1960): with Phi the
// normal distribution, E[R] = int 1 - Phi^n - (1-Phi)^n and
// E[R^2] = 2 iint over x < y of 1 - Phi(y)^n - (1-Phi(x))^n + (Phi(y)-Phi(x))^n.
func ConstantsFor(n int) (ChartConstants, error) {
	if n < 2 || n > 100 {
		return ChartConstants{}, refuse(OutOfRange, "n", "is %d; a subgroup has 2 to 100 values", n)
	}
	f := float64(n)
	d2 := 2 * integral(func(x float64) float64 {
		p := normalCDF(x)
		return 1 - math.Pow(p, f) - math.Pow(normalCDF(-x), f)
	}, 1e-13, 0, 1, 2, 4, 8)
	// E[R^2] through the distribution of the range: int 2 r P(R > r) dr.
	square := integral(func(r float64) float64 { return 2 * r * (1 - rangeCDF(r, n)) }, 1e-12, 0, 1, 2, 4, 8, 14)
	g1, _ := math.Lgamma(f / 2)
	g2, _ := math.Lgamma((f - 1) / 2)
	c := ChartConstants{D2: d2, D3: math.Sqrt(square - d2*d2), C4: math.Sqrt(2/(f-1)) * math.Exp(g1-g2)}
	s := 3 * math.Sqrt(1-c.C4*c.C4) / c.C4
	c.A2, c.A3 = 3/(c.D2*math.Sqrt(f)), 3/(c.C4*math.Sqrt(f))
	c.LowR, c.UpR = math.Max(0, 1-3*c.D3/c.D2), 1+3*c.D3/c.D2
	c.LowS, c.UpS = math.Max(0, 1-s), 1+s
	return c, nil
}

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
