package calc

import "springline/qc/stats"

// kindsSpread are the computations over spread: capability, gauge study, outliers, circle.
func kindsSpread() []Kind {
	return []Kind{
		New("spread.capability", "Cp, Cpk and Cpm with confidence bounds",
			"NIST/SEMATECH e-Handbook 6.1.6; Bissell 1990; Chan, Cheng and Spiring 1988", spreadCapability),
		New("spread.normality", "Anderson-Darling test of normality, mean and deviation estimated",
			"D'Agostino and Stephens 1986, Goodness-of-Fit Techniques, ch. 4", spreadNormality),
		New("spread.tolerance_factor", "k for mean + k s and mean +- k s to hold a fraction of a normal population",
			"ISO 16269-6; Odeh and Owen 1980; noncentral t by integration", toleranceFactor),
		New("study.crossed", "gauge study, parts x operators x repeats, by analysis of variance",
			"AIAG Measurement Systems Analysis, 4th ed.; ASTM E2782", studyCrossed),
		New("outlier.grubbs", "test for one outlier",
			"Grubbs 1969; NIST/SEMATECH e-Handbook 1.3.5.17.1", outlierGrubbs),
		New("fit.circle", "circle through points by least squared distances",
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

type capabilityOut struct {
	Cp             float64 `json:"cp" doc:"tolerance over six standard deviations"`
	Cpk            float64 `json:"cpk" doc:"distance of the mean to the nearer limit over three"`
	Cpm            float64 `json:"cpm" doc:"cp with the deviation from target counted in"`
	CpLow          float64 `json:"cp_low" doc:"two-sided bound"`
	CpHigh         float64 `json:"cp_high" doc:"two-sided bound"`
	CpkLow         float64 `json:"cpk_low" doc:"two-sided bound"`
	CpkHigh        float64 `json:"cpk_high" doc:"two-sided bound"`
	CpkLowOneSided float64 `json:"cpk_low_one_sided" doc:"one-sided lower bound"`
	BelowLower     float64 `json:"below_lower" doc:"expected fraction below the lower limit, if normal"`
	AboveUpper     float64 `json:"above_upper" doc:"expected fraction above the upper limit, if normal"`
}

func spreadCapability(in capabilityIn) (capabilityOut, error) {
	c, err := stats.ProcessCapability(in.Lower, in.Upper, in.Mean, in.SD, in.Target, in.N, in.Confidence)
	if err != nil {
		return capabilityOut{}, asStatsError(err)
	}
	return capabilityOut(c), nil
}

type normalityOut struct {
	A2     float64 `json:"a2" doc:"Anderson-Darling statistic"`
	A2Star float64 `json:"a2_star" doc:"corrected for the count"`
	P      float64 `json:"p" doc:"chance of a larger one from a normal distribution"`
}

func spreadNormality(in seriesIn) (normalityOut, error) {
	t, err := stats.AndersonDarling(in.X)
	if err != nil {
		return normalityOut{}, asStatsError(err)
	}
	return normalityOut(t), nil
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
	if err != nil {
		return toleranceOut{}, asStatsError(err)
	}
	return toleranceOut{one, two}, nil
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
		return studyOut{}, asStatsError(err)
	}
	low, high, err := s.GaugeBounds(0.90)
	if err != nil {
		return studyOut{}, asStatsError(err)
	}
	return studyOut{
		DofRepeat: s.DofRepeat, SDGaugeLow: low, SDGaugeHigh: high,
		SSPart: s.SSPart, SSOperator: s.SSOperator, SSInteraction: s.SSInteraction, SSRepeat: s.SSRepeat,
		FInteraction: known(s.FInteraction), PInteraction: known(s.PInteraction), Pooled: s.Pooled,
		SDRepeat: s.SDRepeat, SDOperator: s.SDOperator, SDInteraction: s.SDInteraction, SDPart: s.SDPart, SDGauge: s.SDGauge,
		Percent: s.PercentOfTotal, Categories: s.Categories,
	}, nil
}

type grubbsIn struct {
	X     []float64 `json:"x" doc:"values, any unit, at least 3"`
	Alpha float64   `json:"alpha" doc:"significance, 0 to 1"`
	Side  string    `json:"side" doc:"max, min or both: which end may hold an outlier"`
}

type grubbsOut struct {
	G        float64 `json:"g" doc:"distance of the suspect from the mean in standard deviations"`
	Critical float64 `json:"critical" doc:"what g must exceed"`
	Index    int     `json:"index" doc:"0-based index of the suspect"`
	Reject   bool    `json:"reject" doc:"whether g exceeds critical"`
}

func outlierGrubbs(in grubbsIn) (grubbsOut, error) {
	g, err := stats.GrubbsTest(in.X, in.Alpha, in.Side)
	if err != nil {
		return grubbsOut{}, asStatsError(err)
	}
	return grubbsOut(g), nil
}

type circleIn struct {
	Points [][2]float64 `json:"points" doc:"[x, y] pairs, any unit, at least 3 different"`
	Method string       `json:"method" doc:"geometric: least squared distances from the circle"`
}

type circleOut struct {
	X      float64 `json:"x" doc:"centre, unit of the points"`
	Y      float64 `json:"y" doc:"centre"`
	Radius float64 `json:"radius" doc:"unit of the points"`
	SS     float64 `json:"ss" doc:"sum of squared distances from the circle"`
}

func fitCircle(in circleIn) (circleOut, error) {
	if in.Method != "geometric" {
		return circleOut{}, Refuse("bad_choice", "method", "is %q; the method is geometric", in.Method)
	}
	c, err := stats.FitCircle(in.Points)
	if err != nil {
		return circleOut{}, asStatsError(err)
	}
	return circleOut(c), nil
}
