package stats

import (
	"fmt"
	"math"
)

// Part is one contribution to an uncertainty: a standard uncertainty in the unit of the result, the
// sensitivity already multiplied in.
type Part struct {
	Name string
	U    float64
	Dof  float64 // degrees of freedom; +Inf where the value is not in doubt (JCGM 100:2008 G.4.3)
}

// Rectangular is a part known only to lie within +- halfWidth (JCGM 100:2008 4.3.7).
func Rectangular(name string, halfWidth float64) Part {
	return Part{name, halfWidth / math.Sqrt(3), math.Inf(1)}
}

// Resolution is what a display or division of that step hides (JCGM 100:2008 F.2.2.1).
func Resolution(name string, step float64) Part {
	return Part{name, step / math.Sqrt(12), math.Inf(1)}
}

// Triangular is a part within +- halfWidth that is likelier near the middle (JCGM 100:2008 4.3.9).
func Triangular(name string, halfWidth float64) Part {
	return Part{name, halfWidth / math.Sqrt(6), math.Inf(1)}
}

// Certificate is an expanded uncertainty with its coverage factor (JCGM 100:2008 4.3.3).
func Certificate(name string, expanded, coverage float64) Part {
	return Part{name, expanded / coverage, math.Inf(1)}
}

// Repeated is the mean of n readings whose standard deviation s is known with dof degrees of freedom
// (JCGM 100:2008 4.2.3), pooled from a gauge study rather than from the readings at hand.
func Repeated(name string, s float64, n int, dof float64) Part {
	return Part{name, s / math.Sqrt(float64(n)), dof}
}

// Correlated is the correlation R of the parts I and J.
type Correlated struct {
	I, J int
	R    float64
}

// Combined is a finished budget.
type Combined struct {
	Parts    []Part
	U        float64 // combined standard uncertainty
	Dof      float64 // effective degrees of freedom (Welch-Satterthwaite), +Inf possible
	Coverage float64 // Student t at the whole degrees of freedom below Dof
	Expanded float64 // Coverage times U
}

// Combine adds parts by root sum of squares, with their correlations (JCGM 100:2008 eq. 10 and 13),
// and expands for a two-sided coverage such as 0.95 with the Welch-Satterthwaite degrees of freedom
// (eq. G.2b), truncated to a whole number (G.4.1, note).
func Combine(coverage float64, parts []Part, correlated ...Correlated) (Combined, error) {
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
	for _, c := range correlated {
		if c.I < 0 || c.J < 0 || c.I >= len(parts) || c.J >= len(parts) || c.I == c.J || !(math.Abs(c.R) <= 1) {
			return Combined{}, refuse(OutOfRange, "correlated", "%d and %d with %g is not a correlation of two parts", c.I, c.J, c.R)
		}
		variance += 2 * c.R * parts[c.I].U * parts[c.J].U
	}
	// Correlations that no joint distribution can have would give less than nothing.
	if variance < -1e-12*parts[0].U*parts[0].U {
		return Combined{}, refuse(OutOfRange, "correlated", "these correlations cannot all hold: the variance comes out negative")
	}
	b := Combined{Parts: parts, U: math.Sqrt(math.Max(0, variance)), Dof: math.Inf(1)}
	if welch > 0 {
		b.Dof = math.Max(1, variance*variance/welch)
	}
	b.Coverage = tTailQuantile((1-coverage)/2, math.Floor(b.Dof*(1+1e-12)))
	b.Expanded = b.Coverage * b.U
	return b, nil
}

// String lists the parts and the result for a log.
func (b Combined) String() string {
	s := ""
	for _, p := range b.Parts {
		s += fmt.Sprintf("%s %.3g; ", p.Name, p.U)
	}
	return s + fmt.Sprintf("combined %.3g, expanded %.3g with k = %.2f", b.U, b.Expanded, b.Coverage)
}
