package stats

import (
	"math"
	"slices"
)

// Summary describes a series. The series keeps its order for Lag1.
type Summary struct {
	N    int
	Mean float64
	SD   float64 // with n - 1
	Lag1 float64 // autocorrelation at lag one; NaN where all values are equal
}

// Summarise returns mean, standard deviation and lag-one autocorrelation of at least two values, by
// compensated sums over deviations from the mean (two-pass; formulas of the NIST Statistical
// Reference Datasets, univariate).
func Summarise(x []float64) (Summary, error) {
	if err := checkData("x", x, 2); err != nil {
		return Summary{}, err
	}
	m := mean(x)
	ss := sumSquares(x, m)
	var lag compensated
	for i := 1; i < len(x); i++ {
		lag.add((x[i] - m) * (x[i-1] - m))
	}
	s := Summary{N: len(x), Mean: m, SD: math.Sqrt(ss / float64(len(x)-1)), Lag1: math.NaN()}
	if ss > 0 {
		s.Lag1 = lag.value() / ss
	}
	return s, nil
}

// mean is the compensated sum over n, put right once by the mean of what is left.
func mean(x []float64) float64 {
	n := float64(len(x))
	var c compensated
	for _, v := range x {
		c.add(v)
	}
	m := c.value() / n
	var rest compensated
	for _, v := range x {
		rest.add(v - m)
	}
	return m + rest.value()/n
}

// sumSquares is the sum of squared deviations from m, less what is left of the first moment: m is
// rounded.
func sumSquares(x []float64, m float64) float64 {
	var ss, rest compensated
	for _, v := range x {
		d := v - m
		ss.add(d * d)
		rest.add(d)
	}
	return math.Max(0, ss.value()-rest.value()*rest.value()/float64(len(x)))
}

func sd(x []float64) float64 {
	return math.Sqrt(sumSquares(x, mean(x)) / float64(len(x)-1))
}

// median of a copy of x, which is not empty.
func median(x []float64) float64 {
	s := slices.Clone(x)
	slices.Sort(s)
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return s[n/2-1] + (s[n/2]-s[n/2-1])/2
}

// Percentile is the value below which the fraction p of the distribution behind x is estimated to
// lie, at rank p(N+1) (NIST/SEMATECH e-Handbook 7.2.6.2); beyond the ends the end value.
func Percentile(x []float64, p float64) (float64, error) {
	if err := firstError(checkData("x", x, 1), checkFraction("p", p)); err != nil {
		return 0, err
	}
	s := slices.Clone(x)
	slices.Sort(s)
	rank := p * float64(len(s)+1)
	k := int(math.Floor(rank))
	switch {
	case k < 1:
		return s[0], nil
	case k >= len(s):
		return s[len(s)-1], nil
	}
	return s[k-1] + (rank-float64(k))*(s[k]-s[k-1]), nil
}
