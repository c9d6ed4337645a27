package stats

import (
	"math"
)

// D2 of two is the mean range of two standard normal values, 2/sqrt(pi).
const d2Of2 = 2 / 1.7724538509055160273

// Individuals is a chart of single values with their moving ranges (ISO 7870-2; NIST/SEMATECH
// e-Handbook 6.3.2.2): sigma = mean moving range / d2, limits at 3 sigma.
type Individuals struct {
	Mean         float64   `json:"mean" doc:"centre line, unit of x"`
	MeanRange    float64   `json:"mean_range" doc:"mean moving range, unit of x"`
	Sigma        float64   `json:"sigma" doc:"mean moving range over d2 = 2/sqrt(pi)"`
	Upper        float64   `json:"upper" doc:"mean + 3 sigma"`
	Lower        float64   `json:"lower" doc:"mean - 3 sigma"`
	UpperRange   float64   `json:"upper_range" doc:"limit of the moving range"`
	Signals      []int     `json:"signals" doc:"1-based: values beyond a limit"`
	RangeSignals []int     `json:"range_signals" doc:"1-based: values whose range to the one before is beyond its limit"`
	Provisional  bool      `json:"provisional" doc:"whether fewer than 20 values carry the limits"`
	MovingRanges []float64 `json:"-"`
}

// ProvisionalBelow is the count under which control limits are called provisional (common practice,
// no source).
const ProvisionalBelow = 20

// ChartIndividuals charts at least two values in the order they were made.
func ChartIndividuals(x []float64) (Individuals, error) {
	if err := checkData("x", x, 2); err != nil {
		return Individuals{}, err
	}
	c := Individuals{Mean: mean(x), Signals: []int{}, RangeSignals: []int{}, Provisional: len(x) < ProvisionalBelow}
	var sum compensated
	for i := 1; i < len(x); i++ {
		r := math.Abs(x[i] - x[i-1])
		c.MovingRanges = append(c.MovingRanges, r)
		sum.add(r)
	}
	c.MeanRange = sum.value() / float64(len(x)-1)
	c.Sigma = c.MeanRange / d2Of2
	c.Upper, c.Lower = c.Mean+3*c.Sigma, c.Mean-3*c.Sigma
	// D4(2) = 1 + 3 d3/d2 with d3^2 = 2 - d2^2
	c.UpperRange = c.MeanRange * (1 + 3*math.Sqrt(2-d2Of2*d2Of2)/d2Of2)
	for i, v := range x {
		if v > c.Upper || v < c.Lower {
			c.Signals = append(c.Signals, i+1)
		}
		if i > 0 && c.MovingRanges[i-1] > c.UpperRange {
			c.RangeSignals = append(c.RangeSignals, i+1)
		}
	}
	return c, nil
}

// EWMA is an exponentially weighted moving average chart.
type EWMA struct {
	Values       []float64 `json:"ewma" doc:"averages, unit of x"`
	Upper        float64   `json:"upper" doc:"steady-state limit, unit of x"`
	Lower        float64   `json:"lower" doc:"steady-state limit, unit of x"`
	Signals      []int     `json:"signals" doc:"1-based: averages beyond the steady-state limits"`
	EarlySignals []int     `json:"early_signals" doc:"1-based: averages beyond the narrower limits of the first averages"`
}

// ChartEWMA charts z_i = weight x_i + (1 - weight) z_{i-1} from z_0 = start, with limits at
// start +- width sigma sqrt(weight / (2 - weight)); for the early ones times
// sqrt(1 - (1 - weight)^(2 i)) (NIST/SEMATECH e-Handbook 6.3.2.4; Lucas and Saccucci 1990).
func ChartEWMA(x []float64, weight, start, sigma, width float64) (EWMA, error) {
	if err := firstError(checkData("x", x, 1), checkFinite("start", start),
		checkPositive("sigma", sigma), checkPositive("width", width)); err != nil {
		return EWMA{}, err
	}
	if !(weight > 0 && weight <= 1) {
		return EWMA{}, refuse(OutOfRange, "weight", "is %g; it must be above 0 and at most 1", weight)
	}
	half := width * sigma * math.Sqrt(weight/(2-weight))
	c := EWMA{Values: make([]float64, len(x)), Upper: start + half, Lower: start - half, Signals: []int{}, EarlySignals: []int{}}
	z, fade := start, 1.0
	for i, v := range x {
		z = weight*v + (1-weight)*z
		c.Values[i] = z
		if z > c.Upper || z < c.Lower {
			c.Signals = append(c.Signals, i+1)
		}
		fade *= (1 - weight) * (1 - weight)
		if math.Abs(z-start) > half*math.Sqrt(1-fade) {
			c.EarlySignals = append(c.EarlySignals, i+1)
		}
	}
	return c, nil
}

// CUSUM is a tabular two-sided cumulative sum chart. Since is the estimated start of the shift.
type CUSUM struct {
	High    []float64 `json:"high" doc:"upper sums, 0 or more, unit of x"`
	Low     []float64 `json:"low" doc:"lower sums, 0 or more, unit of x"`
	Signals []int     `json:"signals" doc:"1-based: where a sum exceeds the decision interval"`
	Since   int       `json:"since" doc:"1-based: where the first sum to signal left zero; 0 without a signal"`
}

// ChartCUSUM sums what exceeds the target by more than the slack, upwards and downwards, and never
// below zero (NIST/SEMATECH e-Handbook 6.3.2.3; Montgomery, Introduction to Statistical Quality
// Control, ch. 9). Slack and decision interval are in the unit of x. The sums run on after a signal.
func ChartCUSUM(x []float64, target, slack, decision float64) (CUSUM, error) {
	if err := firstError(checkData("x", x, 1), checkFinite("target", target),
		checkNonNegative("slack", slack), checkPositive("decision", decision)); err != nil {
		return CUSUM{}, err
	}
	c := CUSUM{High: make([]float64, len(x)), Low: make([]float64, len(x)), Signals: []int{}}
	high, low, highFrom, lowFrom := 0.0, 0.0, 0, 0
	for i, v := range x {
		if high == 0 {
			highFrom = i + 1
		}
		if low == 0 {
			lowFrom = i + 1
		}
		high = math.Max(0, high+(v-target)-slack)
		low = math.Max(0, low-(v-target)-slack)
		c.High[i], c.Low[i] = high, low
		if high > decision || low > decision {
			if c.Since == 0 {
				c.Since = lowFrom
				if high > decision {
					c.Since = highFrom
				}
			}
			c.Signals = append(c.Signals, i+1)
		}
	}
	return c, nil
}
