package stats

import "math"

// scoreCap is the score beyond which a value counts no further: one stray value is one stray value, and must
// not carry a sum or spoil the spread behind the values that follow.
const scoreCap = 3.5

// SelfStarting turns a series into scores that are independent standard normal while its mean and spread stay
// what they were, however few values came before (Hawkins 1987, Self-starting CUSUM charts for location and
// scale, The Statistician 36, 299-316): each value is compared with the mean and standard deviation of those
// before it, U_n = Phi^-1(F_{n-2}(T_n)), T_n = sqrt((n-1)/n) (x_n - mean_{n-1}) / s_{n-1}. The first two scores
// are 0. No standard deviation below least is believed: what a coarse gauge step hides is still there; least
// may be 0. Scores beyond 3.5 are held there, and their values enter the mean and spread as far out as that.
func SelfStarting(x []float64, least float64) ([]float64, error) {
	if err := firstError(checkData("x", x, 1), checkNonNegative("least", least)); err != nil {
		return nil, err
	}
	u := make([]float64, len(x))
	var mean, ss float64 // running, by Welford's update
	for i, v := range x {
		n := float64(i + 1)
		if i >= 2 {
			s := math.Max(math.Sqrt(ss/(n-2)), least)
			v, u[i] = scored(v, mean, s*math.Sqrt(n/(n-1)), n-2)
		}
		d := v - mean
		mean += d / n
		ss += d * (v - mean)
	}
	return u, nil
}

// scored returns the score of v and v itself, drawn in where the score was.
func scored(v, mean, spread, dof float64) (kept, score float64) {
	switch d := v - mean; {
	case d == 0:
		return v, 0
	case spread == 0:
		return v, math.Copysign(scoreCap, d) // the first value that differs from equal ones: nothing tells how far to draw it in
	default:
		score = -normalQuantile(math.Max(tTail(math.Abs(d)/spread, dof), 1e-300))
		if score > scoreCap {
			score = scoreCap
			v = mean + math.Copysign(spread*tTailQuantile(normalCDF(-scoreCap), dof), d)
		}
		return v, math.Copysign(score, d)
	}
}

// Step is the split of a series in two that explains it best.
type Step struct {
	After         int // the last value before the step, 1-based
	Before, Since float64
	T             float64 // two-sample t of the split, pooled; larger than a plain t by the choice of the split
	RSS           float64 // what the two means leave
}

// BestStep tries every split that leaves at least two values on each side (Hawkins, Qiu and Kang 2003, The
// changepoint model for statistical process control, J. Quality Technology 35, 355-366, eq. 3). It needs
// four values; least is the smallest spread believed, as for [SelfStarting].
func BestStep(x []float64, least float64) (Step, error) {
	if err := firstError(checkData("x", x, 4), checkNonNegative("least", least)); err != nil {
		return Step{}, err
	}
	n, m := float64(len(x)), mean(x)
	total := sumSquares(x, m)
	best, gain := Step{}, -1.0
	var sum compensated
	for i, v := range x[:len(x)-2] {
		sum.add(v - m)
		if i == 0 {
			continue
		}
		k := float64(i + 1)
		s := sum.value()
		if g := s * s * n / (k * (n - k)); g > gain {
			gain = g
			best.After, best.Before, best.Since = i+1, m+s/k, m-s/(n-k)
		}
	}
	best.RSS = math.Max(0, total-gain)
	sd := math.Max(math.Sqrt(best.RSS/(n-2)), least)
	if gain > 0 && sd > 0 {
		best.T = math.Copysign(math.Sqrt(gain)/sd, best.Since-best.Before)
	} else if gain > 0 {
		best.T = math.Copysign(math.MaxFloat32, best.Since-best.Before)
	}
	return best, nil
}
