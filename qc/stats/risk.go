package stats

import "math"

// Conformity is the probability that the true value lies within [lower, upper] when y was measured
// with standard uncertainty u (JCGM 106:2012 clause 7, flat prior). A limit that does not exist is an
// infinity.
func Conformity(y, u, lower, upper float64) (float64, error) {
	if err := firstError(checkFinite("value", y), checkPositive("u", u), checkLimits(lower, upper)); err != nil {
		return 0, err
	}
	return between((lower-y)/u, (upper-y)/u), nil
}

// between is Phi(b) - Phi(a), taken from the nearer tail so that small probabilities keep digits.
func between(a, b float64) float64 {
	if a > 0 {
		return normalCDF(-a) - normalCDF(-b)
	}
	return normalCDF(b) - normalCDF(a)
}

func checkLimits(lower, upper float64) error {
	if math.IsNaN(lower) || math.IsNaN(upper) || math.IsInf(lower, 1) || math.IsInf(upper, -1) {
		return refuse(OutOfRange, "lower", "and upper are %g and %g; they must be limits", lower, upper)
	}
	if !(lower < upper) {
		return refuse(OutOfRange, "lower", "is %g; it must be below the upper limit %g", lower, upper)
	}
	return nil
}

// Risk is the joint probability of two wrong outcomes for one part drawn from the process.
type Risk struct {
	FalseAccept float64 `json:"false_accept" doc:"probability that a part is out and accepted"`  // the consumer's
	FalseReject float64 `json:"false_reject" doc:"probability that a part is good and rejected"` // the producer's
}

// GlobalRisk integrates over a normal process and a normal measurement of standard uncertainty u, with
// acceptance between lower + guard and upper - guard; a negative guard widens it (JCGM 106:2012 9.5,
// eq. 17 to 20). Where the guards meet, nothing is accepted. Limits must be finite.
func GlobalRisk(processMean, processSD, lower, upper, u, guard float64) (Risk, error) {
	if err := firstError(
		checkFinite("process_mean", processMean), checkPositive("process_sd", processSD),
		checkFinite("lower", lower), checkFinite("upper", upper), checkLimits(lower, upper),
		checkNonNegative("u", u), checkFinite("guard", guard)); err != nil {
		return Risk{}, err
	}
	// In units of the process spread about its mean.
	t1, t2 := (lower-processMean)/processSD, (upper-processMean)/processSD
	a1, a2 := t1+guard/processSD, t2-guard/processSD
	v := u / processSD
	for _, far := range []float64{t1, t2, a1, a2, v} {
		if math.IsNaN(far) || math.IsInf(far, 0) {
			return Risk{}, refuse(OutOfRange, "process_sd", "is %g, too small beside the limits and the uncertainty to compute with", processSD)
		}
	}
	accept := func(z float64) float64 {
		switch {
		case a1 > a2:
			return 0
		case v == 0:
			if z >= a1 && z <= a2 {
				return 1
			}
			return 0
		}
		return between((a1-z)/v, (a2-z)/v)
	}
	cuts := []float64{-8, -3, -1, 0, 1, 3, 8}
	for _, a := range [...]float64{a1, a2} {
		for _, k := range [...]float64{-8, -3, -1, 0, 1, 3, 8} {
			cuts = append(cuts, a+k*v)
		}
	}
	// Beyond 39 the normal density is below the smallest float64.
	over := func(f func(float64) float64, from, to float64) float64 {
		from, to = math.Max(from, -39), math.Min(to, 39)
		if from >= to {
			return 0
		}
		inside := []float64{from, to}
		for _, c := range cuts {
			if c > from && c < to {
				inside = append(inside, c)
			}
		}
		return integral(f, 1e-14, inside...)
	}
	out := func(z float64) float64 { return normalPDF(z) * accept(z) }
	in := func(z float64) float64 { return normalPDF(z) * (1 - accept(z)) }
	return Risk{
		FalseAccept: clamp01(over(out, math.Inf(-1), t1) + over(out, t2, math.Inf(1))),
		FalseReject: clamp01(over(in, t1, t2)),
	}, nil
}

func clamp01(p float64) float64 { return math.Max(0, math.Min(1, p)) }
