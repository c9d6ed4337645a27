package calc

import "springline/qc/stats"

// kindsSpread are the computations over spread: capability, gauge study, outliers, circle.
func kindsSpread() []Kind {
	return []Kind{
		row("spread.capability", "Cp, Cpk and Cpm with confidence bounds",
			"NIST/SEMATECH e-Handbook 6.1.6; Bissell 1990; Chan, Cheng and Spiring 1988", func(in capabilityIn) (stats.Capability, error) {
				return stats.ProcessCapability(in.Lower, in.Upper, in.Mean, in.SD, in.Target, in.N, in.Confidence)
			}),
		row("spread.normality", "Anderson-Darling test of normality, mean and deviation estimated",
			"D'Agostino and Stephens 1986, Goodness-of-Fit Techniques, ch. 4",
			func(in seriesIn) (stats.Normality, error) { return stats.AndersonDarling(in.X) }),
		row("spread.tolerance_factor", "k for mean + k s and mean ± k s to hold a fraction of a normal population",
			"ISO 16269-6; Odeh and Owen 1980; noncentral t by integration", toleranceFactor),
		row("study.crossed", "gauge study, parts x operators x repeats, by analysis of variance",
			"AIAG Measurement Systems Analysis, 4th ed.; ASTM E2782", studyCrossed),
		row("outlier.grubbs", "test for one outlier",
			"Grubbs 1969; NIST/SEMATECH e-Handbook 1.3.5.17.1",
			func(in grubbsIn) (stats.Grubbs, error) { return stats.GrubbsTest(in.X, in.Alpha, in.Side) }),
		row("fit.circle", "circle through points by least squared distances",
			"Gander, Golub and Strebel 1994, BIT 34, 558-578", fitCircle),
	}
}

type capabilityIn struct {
	Lower      float64 `json:"lower" doc:"lower limit, any unit"`
	Upper      float64 `json:"upper" doc:"upper limit, same unit"`
	Mean       float64 `json:"mean" doc:"same unit"`
	SD         float64 `json:"sd" doc:"standard deviation, same unit, above 0"`
	Target     float64 `json:"target" doc:"same unit"`
	N          int     `json:"n" doc:"values behind the standard deviation, at least 2"`
	Confidence float64 `json:"confidence" doc:"of the bounds, such as 0.95"`
}

type toleranceIn struct {
	N          int     `json:"n" doc:"values behind mean and standard deviation, at least 2"`
	Coverage   float64 `json:"coverage" doc:"fraction of the population to hold, 0 to 1"`
	Confidence float64 `json:"confidence" doc:"0 to 1"`
}

type toleranceOut struct {
	OneSided float64 `json:"one_sided" doc:"exact factor for one limit"`
	TwoSided float64 `json:"two_sided" doc:"exact factor for two limits"`
}

func toleranceFactor(in toleranceIn) (toleranceOut, error) {
	one, two, err := stats.ToleranceFactors(in.N, in.Coverage, in.Confidence)
	return toleranceOut{one, two}, err
}

type studyIn struct {
	Readings [][][]float64 `json:"readings" doc:"readings[part][operator][repeat], any unit, as many in every cell"`
}

type studyOut struct {
	SSPart        float64  `json:"ss_part" doc:"sum of squares between parts"`
	SSOperator    float64  `json:"ss_operator" doc:"between operators"`
	SSInteraction float64  `json:"ss_interaction" doc:"of the interaction"`
	SSRepeat      float64  `json:"ss_repeat" doc:"of repeats"`
	FInteraction  *float64 `json:"f_interaction" doc:"variance ratio of interaction to repeat; null if repeats never differ"`
	PInteraction  *float64 `json:"p_interaction" doc:"its p-value; null if neither varies"`
	Pooled        bool     `json:"pooled" doc:"whether the interaction was pooled with repeat (p above 0.25)"`
	SDRepeat      float64  `json:"sd_repeat" doc:"repeatability, unit of the readings"`
	SDOperator    float64  `json:"sd_operator" doc:"between operators"`
	SDInteraction float64  `json:"sd_interaction" doc:"of the interaction, 0 where pooled"`
	SDPart        float64  `json:"sd_part" doc:"between parts"`
	SDGauge       float64  `json:"sd_gauge" doc:"repeat, operator and interaction together"`
	Percent       float64  `json:"percent_of_total" doc:"100 gauge / total"`
	DofRepeat     int      `json:"dof_repeat" doc:"degrees of freedom behind sd_repeat"`
	SDGaugeLow    float64  `json:"sd_gauge_low" doc:"bound below sd_gauge that holds with 95 %"`
	SDGaugeHigh   float64  `json:"sd_gauge_high" doc:"bound above sd_gauge that holds with 95 %"`
	Categories    int      `json:"categories" doc:"parts that can be told apart, floor(1.41 part/gauge)"`
}

func studyCrossed(in studyIn) (studyOut, error) {
	s, err := stats.CrossedStudy(in.Readings)
	if err != nil {
		return studyOut{}, err
	}
	low, high, err := s.GaugeBounds(0.90)
	return studyOut{
		DofRepeat: s.DofRepeat, SDGaugeLow: low, SDGaugeHigh: high,
		SSPart: s.SSPart, SSOperator: s.SSOperator, SSInteraction: s.SSInteraction, SSRepeat: s.SSRepeat,
		FInteraction: known(s.FInteraction), PInteraction: known(s.PInteraction), Pooled: s.Pooled,
		SDRepeat: s.SDRepeat, SDOperator: s.SDOperator, SDInteraction: s.SDInteraction, SDPart: s.SDPart, SDGauge: s.SDGauge,
		Percent: s.PercentOfTotal, Categories: s.Categories,
	}, err
}

type grubbsIn struct {
	X     []float64 `json:"x" doc:"values, any unit, at least 3"`
	Alpha float64   `json:"alpha" doc:"significance, 0 to 1"`
	Side  string    `json:"side" doc:"max, min or both: which end may hold an outlier"`
}

type circleIn struct {
	Points [][2]float64 `json:"points" doc:"[x, y] pairs, any unit, at least 3 different"`
	Method string       `json:"method" doc:"geometric: least squared distances from the circle"`
}

func fitCircle(in circleIn) (stats.Circle, error) {
	if in.Method != "geometric" {
		return stats.Circle{}, refuse("bad_choice", "method", "is %q; the method is geometric", in.Method)
	}
	return stats.FitCircle(in.Points)
}
