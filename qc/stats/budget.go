package stats

import "math"

// Part is one contribution to an uncertainty: a standard uncertainty in the unit of the result, the
// sensitivity already multiplied in.
type Part struct {
	Name string
	U    float64
	Dof  float64 // degrees of freedom; +Inf where the value is not in doubt (JCGM 100:2008 G.4.3)
}

// Combined is a finished budget.
type Combined struct {
	U        float64 // combined standard uncertainty
	Dof      float64 // effective degrees of freedom (Welch-Satterthwaite), +Inf possible
	Coverage float64 // Student t at the whole degrees of freedom below Dof
	Expanded float64 // Coverage times U
}

// Combine adds parts that do not hang together by root sum of squares (JCGM 100:2008 eq. 10)
// and expands for a two-sided coverage such as 0.95 with the Welch-Satterthwaite degrees of freedom
// (eq. G.2b), truncated to a whole number (G.4.1, note).
func Combine(coverage float64, parts []Part) (Combined, error) {
	if err := checkFraction("coverage", coverage); err != nil {
		return Combined{}, err
	}
	if len(parts) == 0 {
		return Combined{}, refuse(TooFewPoints, "parts", "an uncertainty budget needs at least one part")
	}
	variance, welch := 0.0, 0.0
	for _, p := range parts {
		if err := checkNonNegative(p.Name, p.U); err != nil {
			return Combined{}, err
		}
		if !(p.Dof >= 1) {
			return Combined{}, refuse(OutOfRange, p.Name, "has %g degrees of freedom; at least 1 are needed", p.Dof)
		}
		variance += p.U * p.U
		welch += math.Pow(p.U, 4) / p.Dof
	}
	b := Combined{U: math.Sqrt(variance), Dof: math.Inf(1)}
	if welch > 0 {
		b.Dof = math.Max(1, variance*variance/welch)
	}
	b.Coverage = tTailQuantile((1-coverage)/2, math.Floor(b.Dof*(1+1e-12)))
	b.Expanded = b.Coverage * b.U
	return b, nil
}
