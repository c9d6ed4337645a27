package stats

import "math"

// Variables is a sampling plan by variables with unknown spread for one limit (s-method, ISO 3951-1;
// MIL-STD-414 section B): accept when (limit - mean)/s is at least K.
type Variables struct {
	N int
	K float64
}

// AcceptanceChance is the probability that a lot with that fraction beyond the limit is accepted, exact
// by noncentral t: P(T' > K sqrt n) with noncentrality z_{1-p} sqrt n.
func (v Variables) AcceptanceChance(fractionOut float64) (float64, error) {
	if v.N < 2 {
		return 0, refuse(TooFewPoints, "n", "is %d; a plan needs at least 2 values", v.N)
	}
	if err := firstError(checkFraction("fraction_out", fractionOut), checkFinite("k", v.K)); err != nil {
		return 0, err
	}
	root := math.Sqrt(float64(v.N))
	return 1 - noncentralT(v.K*root, float64(v.N-1), -normalQuantile(fractionOut)*root), nil
}

// EstimatedOut is the estimate of the fraction beyond a limit that lies q standard deviations from the
// mean of n values (MIL-STD-414, form 2: the symmetric beta distribution with n/2 - 1).
func EstimatedOut(q float64, n int) (float64, error) {
	if n < 3 {
		return 0, refuse(TooFewPoints, "n", "is %d; at least 3 values are needed", n)
	}
	if err := checkFinite("q", q); err != nil {
		return 0, err
	}
	f := float64(n)
	x := math.Max(0, math.Min(1, 0.5-q*math.Sqrt(f)/(2*(f-1))))
	return betaCDF(x, f/2-1, f/2-1), nil
}
