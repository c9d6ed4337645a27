package stats

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Capability is how a process spread fits a tolerance. Intervals hold for a standard deviation with
// n - 1 degrees of freedom.
type Capability struct {
	Cp             float64 `json:"cp" doc:"tolerance over six standard deviations"`
	Cpk            float64 `json:"cpk" doc:"distance of the mean to the nearer limit over three"`
	Cpm            float64 `json:"cpm" doc:"cp with the deviation from target counted in"`
	CpLow          float64 `json:"cp_low" doc:"two-sided bound"`
	CpHigh         float64 `json:"cp_high" doc:"two-sided bound"`
	CpkLow         float64 `json:"cpk_low" doc:"two-sided bound"`
	CpkHigh        float64 `json:"cpk_high" doc:"two-sided bound"`
	CpkLowOneSided float64 `json:"cpk_low_one_sided" doc:"one-sided lower bound"` // the bound to print: Cpk is at least this
	BelowLower     float64 `json:"below_lower" doc:"expected fraction below the lower limit, if normal"`
	AboveUpper     float64 `json:"above_upper" doc:"expected fraction above the upper limit, if normal"`
}

// ProcessCapability computes Cp, Cpk and Cpm (NIST/SEMATECH e-Handbook 6.1.6; Chan, Cheng and Spiring
// 1988 for Cpm) with bounds: Cp from chi-square, Cpk by Bissell (1990), Applied Statistics 39, 331-340:
// Cpk +- z sqrt(1/(9n) + Cpk^2/(2(n-1))). n is the count behind the standard deviation, 2 or more.
func ProcessCapability(lower, upper, mean, sd, target float64, n int, confidence float64) (Capability, error) {
	if err := firstError(checkFinite("lower", lower), checkFinite("upper", upper), checkLimits(lower, upper),
		checkFinite("mean", mean), checkPositive("sd", sd), checkFinite("target", target), checkFraction("confidence", confidence)); err != nil {
		return Capability{}, err
	}
	if n < 2 {
		return Capability{}, refuse(TooFewPoints, "n", "is %d; a standard deviation needs at least 2 values", n)
	}
	dof := float64(n - 1)
	alpha := 1 - confidence
	c := Capability{
		Cp:         (upper - lower) / (6 * sd),
		Cpk:        math.Min(upper-mean, mean-lower) / (3 * sd),
		BelowLower: normalCDF((lower - mean) / sd),
		AboveUpper: normalCDF((mean - upper) / sd),
	}
	c.Cpm = c.Cp / math.Sqrt(1+math.Pow((mean-target)/sd, 2))
	c.CpLow = c.Cp * math.Sqrt(chi2Quantile(alpha/2, dof)/dof)
	c.CpHigh = c.Cp * math.Sqrt(chi2TailQuantile(alpha/2, dof)/dof)
	u := math.Sqrt(1/(9*float64(n)) + c.Cpk*c.Cpk/(2*dof))
	z := -normalQuantile(alpha / 2)
	c.CpkLow, c.CpkHigh = c.Cpk-z*u, c.Cpk+z*u
	one := -normalQuantile(alpha) // of the fraction nearer to 0, which has all its digits
	if confidence < 0.5 {
		one = normalQuantile(confidence)
	}
	c.CpkLowOneSided = c.Cpk - one*u
	return c, nil
}

// PartSpread takes the gauge's spread out of an observed one, sd^2 = part^2 + gauge^2. Where the gauge
// alone explains what was seen, the part spread is 0.
func PartSpread(observed, gauge float64) (float64, error) {
	if err := firstError(checkNonNegative("observed", observed), checkNonNegative("gauge", gauge)); err != nil {
		return 0, err
	}
	return math.Sqrt(math.Max(0, observed*observed-gauge*gauge)), nil
}

// FractionOut is the observed fraction of k out of n with its exact two-sided interval (Clopper and
// Pearson 1934), the fallback where no normal distribution can be assumed.
func FractionOut(k, n int, confidence float64) (low, high float64, err error) {
	if n < 1 || k < 0 || k > n {
		return 0, 0, refuse(OutOfRange, "k", "is %d of %d; it must be 0 to n", k, n)
	}
	if err := checkFraction("confidence", confidence); err != nil {
		return 0, 0, err
	}
	alpha := 1 - confidence
	high = 1
	if k > 0 {
		low = distuv.Beta{Alpha: float64(k), Beta: float64(n - k + 1)}.Quantile(alpha / 2)
	}
	if k < n {
		high = distuv.Beta{Alpha: float64(k + 1), Beta: float64(n - k)}.Quantile(1 - alpha/2)
	}
	return low, high, nil
}

// OrderCoverage is the fraction of any continuous distribution that lies between the smallest and the largest
// of n values with that confidence, whatever its shape (Wilks 1941, Annals of Mathematical Statistics 12,
// 91-96): the coverage has a beta distribution with parameters n - 1 and 2.
func OrderCoverage(n int, confidence float64) (float64, error) {
	if n < 2 {
		return 0, refuse(TooFewPoints, "n", "is %d; two values are needed to lie between", n)
	}
	if err := checkFraction("confidence", confidence); err != nil {
		return 0, err
	}
	return distuv.Beta{Alpha: float64(n - 1), Beta: 2}.Quantile(1 - confidence), nil
}
