package calc

import "springline/qc/stats"

// kindsSeries are the computations over a series in bend order.
func kindsSeries() []Kind {
	return []Kind{
		New("stat.summary", "mean, standard deviation and lag-one autocorrelation",
			"NIST Statistical Reference Datasets, univariate summary statistics", statSummary),
		New("stat.line", "straight line by least squares, with uncertainties",
			"JCGM 100:2008 H.3; NIST Statistical Reference Datasets, linear regression", statLine),
		New("chart.individuals", "control chart of single values with moving ranges, limits at 3 sigma",
			"ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.2", chartIndividuals),
		New("chart.ewma", "exponentially weighted moving average chart",
			"NIST/SEMATECH e-Handbook 6.3.2.4", chartEWMA),
		New("chart.cusum", "tabular cumulative sum chart, both sides",
			"NIST/SEMATECH e-Handbook 6.3.2.3", chartCUSUM),
		New("chart.rules", "run rules on a standardised chart: where each pattern is first complete",
			"Nelson 1984, J. Quality Technology 16, 237-239; Western Electric handbook 1956", chartRules),
		New("trend.kendall", "test for a monotone trend, with the median slope",
			"Mann 1945; Kendall 1975; Sen 1968", trendKendall),
		New("trend.change", "where the mean most likely shifted",
			"Taylor 2000, Change-Point Analysis; Pettitt 1979, Applied Statistics 28, 126-135", trendChange),
	}
}

type seriesIn struct {
	X []float64 `json:"x" doc:"values in order, any unit"`
}

type summaryOut struct {
	Mean float64  `json:"mean" doc:"unit of x"`
	SD   float64  `json:"sd" doc:"with n - 1, unit of x"`
	Lag1 *float64 `json:"lag1" doc:"autocorrelation at lag one; null if all values are equal"`
	N    int      `json:"n" doc:"count"`
}

func statSummary(in seriesIn) (summaryOut, error) {
	s, err := stats.Summarise(in.X)
	if err != nil {
		return summaryOut{}, asStatsError(err)
	}
	return summaryOut{s.Mean, s.SD, known(s.Lag1), s.N}, nil
}

type lineIn struct {
	X  []float64 `json:"x" doc:"any unit"`
	Y  []float64 `json:"y" doc:"as many, any unit"`
	At *float64  `json:"at" need:"no" doc:"x at which to read the line"`
}

type lineOut struct {
	Intercept     float64  `json:"intercept" doc:"unit of y"`
	Slope         float64  `json:"slope" doc:"unit of y per unit of x"`
	UIntercept    float64  `json:"u_intercept" doc:"standard uncertainty of the intercept"`
	USlope        float64  `json:"u_slope" doc:"standard uncertainty of the slope"`
	Correlation   float64  `json:"correlation" doc:"between the estimates of intercept and slope"`
	CorrelationXY float64  `json:"correlation_xy" doc:"between x and y"`
	ResidualSD    float64  `json:"residual_sd" doc:"with n - 2, unit of y"`
	ValueAt       *float64 `json:"value_at,omitempty" doc:"the line at that x, unit of y"`
	UValueAt      *float64 `json:"u_value_at,omitempty" doc:"standard uncertainty of the line there"`
}

func statLine(in lineIn) (lineOut, error) {
	l, err := stats.FitLine(in.X, in.Y)
	if err != nil {
		return lineOut{}, asStatsError(err)
	}
	out := lineOut{
		Intercept: l.Intercept, Slope: l.Slope, UIntercept: l.UIntercept, USlope: l.USlope,
		Correlation: l.Correlation, CorrelationXY: l.CorrelationXY, ResidualSD: l.ResidualSD,
	}
	if in.At != nil {
		v, u, err := l.At(*in.At)
		if err != nil {
			return lineOut{}, asStatsError(err)
		}
		out.ValueAt, out.UValueAt = &v, &u
	}
	return out, nil
}

type individualsOut struct {
	Mean         float64 `json:"mean" doc:"centre line, unit of x"`
	MeanRange    float64 `json:"mean_range" doc:"mean moving range, unit of x"`
	Sigma        float64 `json:"sigma" doc:"mean moving range over d2 = 2/sqrt(pi)"`
	Upper        float64 `json:"upper" doc:"mean + 3 sigma"`
	Lower        float64 `json:"lower" doc:"mean - 3 sigma"`
	UpperRange   float64 `json:"upper_range" doc:"limit of the moving range"`
	Signals      []int   `json:"signals" doc:"1-based: values beyond a limit"`
	RangeSignals []int   `json:"range_signals" doc:"1-based: values whose range to the one before is beyond its limit"`
	Provisional  bool    `json:"provisional" doc:"whether fewer than 20 values carry the limits"`
}

func chartIndividuals(in seriesIn) (individualsOut, error) {
	c, err := stats.ChartIndividuals(in.X)
	if err != nil {
		return individualsOut{}, asStatsError(err)
	}
	return individualsOut{c.Mean, c.MeanRange, c.Sigma, c.Upper, c.Lower, c.UpperRange, c.Signals, c.RangeSignals, c.Provisional}, nil
}

type ewmaIn struct {
	X      []float64 `json:"x" doc:"values in order, any unit"`
	Weight float64   `json:"weight" doc:"of the newest value, above 0, at most 1"`
	Start  float64   `json:"start" doc:"average before the first value: the target, unit of x"`
	Sigma  float64   `json:"sigma" doc:"standard deviation of one value, unit of x"`
	Width  float64   `json:"width" doc:"half-width of the limits in standard deviations of the average"`
}

type ewmaOut struct {
	EWMA         []float64 `json:"ewma" doc:"averages, unit of x"`
	Upper        float64   `json:"upper" doc:"steady-state limit, unit of x"`
	Lower        float64   `json:"lower" doc:"steady-state limit, unit of x"`
	Signals      []int     `json:"signals" doc:"1-based: averages beyond the steady-state limits"`
	EarlySignals []int     `json:"early_signals" doc:"1-based: averages beyond the narrower limits of the first averages"`
}

func chartEWMA(in ewmaIn) (ewmaOut, error) {
	c, err := stats.ChartEWMA(in.X, in.Weight, in.Start, in.Sigma, in.Width)
	if err != nil {
		return ewmaOut{}, asStatsError(err)
	}
	return ewmaOut{c.Values, c.Upper, c.Lower, c.Signals, c.EarlySignals}, nil
}

type cusumIn struct {
	X        []float64 `json:"x" doc:"values in order, any unit"`
	Target   float64   `json:"target" doc:"unit of x"`
	Slack    float64   `json:"slack" doc:"allowance each value may differ without counting, unit of x"`
	Decision float64   `json:"decision" doc:"decision interval, unit of x"`
}

type cusumOut struct {
	High    []float64 `json:"high" doc:"upper sums, 0 or more, unit of x"`
	Low     []float64 `json:"low" doc:"lower sums, 0 or more, unit of x"`
	Signals []int     `json:"signals" doc:"1-based: where a sum exceeds the decision interval"`
	Since   int       `json:"since" doc:"1-based: where the first sum to signal left zero; 0 without a signal"`
}

func chartCUSUM(in cusumIn) (cusumOut, error) {
	c, err := stats.ChartCUSUM(in.X, in.Target, in.Slack, in.Decision)
	if err != nil {
		return cusumOut{}, asStatsError(err)
	}
	return cusumOut{c.High, c.Low, c.Signals, c.Since}, nil
}

type rulesIn struct {
	Z []float64 `json:"z" doc:"values in order, in sigmas from the centre line"`
}

type rulesOut struct {
	First map[string]int `json:"first" doc:"for n1 to n8 and we4: 1-based index of the point that completes the pattern, 0 if none"`
}

func chartRules(in rulesIn) (rulesOut, error) {
	if len(in.Z) == 0 {
		return rulesOut{}, Refuse("too_few_points", "z", "holds no value; at least 1 is needed")
	}
	out := rulesOut{First: map[string]int{}}
	for _, r := range stats.ChartRules() {
		out.First[r.String()] = r.First(in.Z)
	}
	return out, nil
}

type kendallOut struct {
	S        int64   `json:"s" doc:"pairs that rise less pairs that fall"`
	Variance float64 `json:"variance" doc:"of s without a trend, ties allowed for"`
	Z        float64 `json:"z" doc:"normal score with continuity correction"`
	P        float64 `json:"p" doc:"two-sided"`
	SenSlope float64 `json:"sen_slope" doc:"median slope of all pairs, unit of x per step"`
}

func trendKendall(in seriesIn) (kendallOut, error) {
	t, err := stats.MannKendall(in.X)
	if err != nil {
		return kendallOut{}, asStatsError(err)
	}
	return kendallOut{t.S, t.Variance, t.Z, t.P, t.SenSlope}, nil
}

type changeOut struct {
	After      int     `json:"after" doc:"last point before the change, 1-based"`
	MeanBefore float64 `json:"mean_before" doc:"unit of x"`
	MeanAfter  float64 `json:"mean_after" doc:"unit of x"`
	SumRange   float64 `json:"sum_range" doc:"greatest less least cumulative sum, unit of x"`
	PettittK   float64 `json:"pettitt_k" doc:"Pettitt's rank statistic"`
	PettittP   float64 `json:"pettitt_p" doc:"its approximate probability without a change"`
}

func trendChange(in seriesIn) (changeOut, error) {
	c, err := stats.ChangePoint(in.X)
	if err != nil {
		return changeOut{}, asStatsError(err)
	}
	return changeOut{c.After, c.MeanBefore, c.MeanAfter, c.SumRange, c.PettittK, c.PettittP}, nil
}
