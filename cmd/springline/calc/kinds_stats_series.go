package calc

import "springline/qc/stats"

// kindsSeries are the computations over a series in bend order.
func kindsSeries() []Kind {
	return []Kind{
		row("stat.summary", "mean, standard deviation and lag-one autocorrelation",
			"NIST Statistical Reference Datasets, univariate summary statistics", statSummary),
		row("stat.line", "straight line by least squares, with uncertainties",
			"JCGM 100:2008 H.3; NIST Statistical Reference Datasets, linear regression", statLine),
		row("chart.individuals", "control chart of single values with moving ranges, limits at 3 sigma",
			"ISO 7870-2; NIST/SEMATECH e-Handbook 6.3.2.2",
			func(in seriesIn) (stats.Individuals, error) { return stats.ChartIndividuals(in.X) }),
		row("chart.ewma", "exponentially weighted moving average chart",
			"NIST/SEMATECH e-Handbook 6.3.2.4", func(in ewmaIn) (stats.EWMA, error) {
				return stats.ChartEWMA(in.X, in.Weight, in.Start, in.Sigma, in.Width)
			}),
		row("chart.cusum", "tabular cumulative sum chart, both sides",
			"NIST/SEMATECH e-Handbook 6.3.2.3", func(in cusumIn) (stats.CUSUM, error) {
				return stats.ChartCUSUM(in.X, in.Target, in.Slack, in.Decision)
			}),
		row("chart.rules", "run rules on a standardised chart: where each pattern is first complete",
			"Nelson 1984, J. Quality Technology 16, 237-239; Western Electric handbook 1956", chartRules),
		row("trend.kendall", "test for a monotone trend, with the median slope",
			"Mann 1945; Kendall 1975; Sen 1968", func(in seriesIn) (stats.Trend, error) { return stats.MannKendall(in.X) }),
		row("trend.change", "where the mean most likely shifted",
			"Taylor 2000, Change-Point Analysis; Pettitt 1979, Applied Statistics 28, 126-135",
			func(in seriesIn) (stats.Change, error) { return stats.ChangePoint(in.X) }),
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
	return summaryOut{s.Mean, s.SD, known(s.Lag1), s.N}, err
}

type lineIn struct {
	X  []float64 `json:"x" doc:"any unit"`
	Y  []float64 `json:"y" doc:"as many, any unit"`
	At *float64  `json:"at" need:"no" doc:"x at which to read the line"`
}

type lineOut struct {
	stats.Line
	ValueAt  *float64 `json:"value_at,omitempty" doc:"the line at that x, unit of y"`
	UValueAt *float64 `json:"u_value_at,omitempty" doc:"standard uncertainty of the line there"`
}

func statLine(in lineIn) (lineOut, error) {
	l, err := stats.FitLine(in.X, in.Y)
	out := lineOut{Line: l}
	if in.At != nil && err == nil {
		var v, u float64
		v, u, err = l.At(*in.At)
		out.ValueAt, out.UValueAt = &v, &u
	}
	return out, err
}

type ewmaIn struct {
	X      []float64 `json:"x" doc:"values in order, any unit"`
	Weight float64   `json:"weight" doc:"of the newest value, above 0, at most 1"`
	Start  float64   `json:"start" doc:"average before the first value: the target, unit of x"`
	Sigma  float64   `json:"sigma" doc:"standard deviation of one value, unit of x"`
	Width  float64   `json:"width" doc:"half-width of the limits in standard deviations of the average"`
}

type cusumIn struct {
	X        []float64 `json:"x" doc:"values in order, any unit"`
	Target   float64   `json:"target" doc:"unit of x"`
	Slack    float64   `json:"slack" doc:"allowance each value may differ without counting, unit of x"`
	Decision float64   `json:"decision" doc:"decision interval, unit of x"`
}

type rulesIn struct {
	Z []float64 `json:"z" doc:"values in order, in sigmas from the centre line"`
}

type rulesOut struct {
	First map[string]int `json:"first" doc:"for n1 to n8 and we4: 1-based index of the point that completes the pattern, 0 if none"`
}

func chartRules(in rulesIn) (rulesOut, error) {
	if len(in.Z) == 0 {
		return rulesOut{}, refuse("too_few_points", "z", "holds no value; at least 1 is needed")
	}
	out := rulesOut{First: map[string]int{}}
	for _, r := range stats.ChartRules() {
		out.First[r.String()] = r.First(in.Z)
	}
	return out, nil
}
