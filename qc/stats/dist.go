package stats

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// Normal and chi-square quantiles and probabilities of gonum agree with R to 1e-13; its Student t
// quantile fails far out with many degrees of freedom and its F upper tail is a difference from one,
// so these two are computed here from the incomplete beta function.

func normalCDF(z float64) float64      { return 0.5 * math.Erfc(-z/math.Sqrt2) }
func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile(p) }
func normalPDF(z float64) float64      { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }

// tTail is P(T > t) for t >= 0.
func tTail(t, dof float64) float64 {
	if math.IsInf(dof, 1) {
		return normalCDF(-t)
	}
	return 0.5 * mathext.RegIncBeta(dof/2, 0.5, dof/(dof+t*t))
}

// TQuantile is the p-quantile of Student's t for p between 0 and 1. dof may be infinite, which is the normal
// distribution.
func TQuantile(p, dof float64) float64 {
	switch {
	case math.IsInf(dof, 1):
		return normalQuantile(p)
	case p < 0.5:
		return -tTailQuantile(p, dof)
	}
	return tTailQuantile(1-p, dof)
}

// tTailQuantile is the t that is exceeded with probability q <= 1/2, right for tiny q.
func tTailQuantile(q, dof float64) float64 {
	if q >= 0.5 {
		return 0
	}
	if math.IsInf(dof, 1) || dof > 1e10 {
		return -normalQuantile(q)
	}
	hi := 1.0
	for tTail(hi, dof) > q && hi < 1e300 {
		hi *= 2
	}
	return root(func(t float64) float64 { return math.Log(tTail(t, dof) / q) }, 0, hi)
}

// fTail is P(F > f).
func fTail(f, d1, d2 float64) float64 {
	if f <= 0 {
		return 1
	}
	return mathext.RegIncBeta(d2/2, d1/2, d2/(d2+d1*f))
}

func chi2Quantile(p, dof float64) float64 { return distuv.ChiSquared{K: dof}.Quantile(p) }

// chi2TailQuantile is the value above which chi-square lies with probability q. Where 1 - q would lose the
// digits of q the tail is inverted itself.
func chi2TailQuantile(q, dof float64) float64 {
	if q > 1e-3 {
		return chi2Quantile(1-q, dof)
	}
	return 2 * mathext.GammaIncRegCompInv(dof/2, q)
}

// chi2Tail is P(X > x).
func chi2Tail(x, dof float64) float64 {
	if x <= 0 {
		return 1
	}
	return mathext.GammaIncRegComp(dof/2, x/2)
}

// logNormalCDF is ln Phi(z), right far into the lower tail where Phi itself is 0.
func logNormalCDF(z float64) float64 {
	switch {
	case z > 0:
		return math.Log1p(-normalCDF(-z))
	case z > -30:
		return math.Log(normalCDF(z))
	}
	// Abramowitz and Stegun 26.2.12
	z2 := z * z
	return -z2/2 - math.Log(-z*math.Sqrt(2*math.Pi)) + math.Log1p(-1/z2+3/(z2*z2)-15/(z2*z2*z2))
}
