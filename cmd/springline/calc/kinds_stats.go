package calc

import (
	"errors"
	"math"
	"slices"

	"springline/qc/stats"
)

func kindsStats() []Kind { return slices.Concat(kindsBudget(), kindsSeries(), kindsSpread()) }

// asStatsError keeps code and field.
func asStatsError(err error) error {
	var e *stats.Error
	if errors.As(err, &e) {
		return &Error{Code: string(e.Code), Field: e.Field, Message: e.Message}
	}
	return err
}

// known is nil for what has no value: an infinite count, a ratio to nothing. It is printed as null.
func known(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func kindsBudget() []Kind {
	return []Kind{
		New("gauge.tape_limit", "largest permissible error of a tape",
			"Directive 2014/32/EU, Annex MI-008 chapter I: a + b L, L in m rounded up, plus c from the end face", tapeLimit),
		New("budget.tape", "uncertainty of a tape reading, by parts and expanded at 95 %",
			"JCGM 100:2008 4.3.7, F.2.2.1, 5.1.2, G.4", tapeBudget),
		New("decide.risk", "joint probability of accepting a bad part and of rejecting a good one",
			"JCGM 106:2012 9.5", decideRisk),
	}
}

type tapeLimitIn struct {
	Class       string  `json:"class" doc:"accuracy class: I, II or III"`
	LengthMM    float64 `json:"length_mm" doc:"measured length, mm, above 0"`
	FromEndFace bool    `json:"from_end_face" doc:"whether the length starts at the tape's end face or hook"`
}

type tapeLimitOut struct {
	LimitMM float64 `json:"limit_mm" doc:"largest permissible error either way, mm"`
}

func tapeLimit(in tapeLimitIn) (tapeLimitOut, error) {
	l, err := stats.TapeLimit(stats.TapeClass(in.Class), in.LengthMM, in.FromEndFace)
	if err != nil {
		return tapeLimitOut{}, asStatsError(err)
	}
	return tapeLimitOut{l}, nil
}

type tapeBudgetIn struct {
	LengthMM    float64 `json:"length_mm" doc:"measured length, mm, above 0"`
	Class       string  `json:"class" doc:"accuracy class: I, II or III"`
	DivisionMM  float64 `json:"division_mm" doc:"smallest division read, mm, above 0"`
	RepeatSDMM  float64 `json:"repeat_sd_mm" doc:"standard deviation of one reading, mm"`
	RepeatDof   float64 `json:"repeat_dof" doc:"degrees of freedom behind it, at least 1"`
	Readings    int     `json:"readings" doc:"readings averaged, at least 1"`
	AlphaTape   float64 `json:"alpha_tape_per_k" doc:"thermal expansion of the tape, per K"`
	AlphaBar    float64 `json:"alpha_bar_per_k" doc:"thermal expansion of the bar, per K"`
	HalfwidthK  float64 `json:"temperature_halfwidth_k" doc:"how far both may be from 20 C, K"`
	FromEndFace bool    `json:"from_end_face" need:"no" doc:"whether the length starts at the tape's end face or hook"`
}

type tapeBudgetOut struct {
	ULimit       float64  `json:"u_limit_mm" doc:"standard uncertainty from the tape's limit, mm"`
	UResolution  float64  `json:"u_resolution_mm" doc:"from the division, mm"`
	URepeat      float64  `json:"u_repeat_mm" doc:"from repeatability of the mean, mm"`
	UTemperature float64  `json:"u_temperature_mm" doc:"from unequal expansion, mm"`
	U            float64  `json:"u_mm" doc:"combined, mm"`
	Dof          *float64 `json:"dof" doc:"effective degrees of freedom; null if infinite"`
	Coverage     float64  `json:"coverage" doc:"coverage factor at 95 %"`
	Expanded     float64  `json:"expanded_mm" doc:"expanded uncertainty, mm"`
}

func tapeBudget(in tapeBudgetIn) (tapeBudgetOut, error) {
	b, err := stats.TapeBudget(stats.TapeUse{
		LengthMM: in.LengthMM, DivisionMM: in.DivisionMM, Class: stats.TapeClass(in.Class), FromEndFace: in.FromEndFace,
		RepeatSDMM: in.RepeatSDMM, RepeatDof: in.RepeatDof, Readings: in.Readings,
		AlphaTapePerK: in.AlphaTape, AlphaBarPerK: in.AlphaBar, TemperatureHalfwidthK: in.HalfwidthK,
	})
	if err != nil {
		return tapeBudgetOut{}, asStatsError(err)
	}
	return tapeBudgetOut{
		ULimit: b.Parts[0].U, UResolution: b.Parts[1].U, URepeat: b.Parts[2].U, UTemperature: b.Parts[3].U,
		U: b.U, Dof: known(b.Dof), Coverage: b.Coverage, Expanded: b.Expanded,
	}, nil
}

type riskIn struct {
	ProcessMean float64 `json:"process_mean" doc:"mean of the parts, any unit"`
	ProcessSD   float64 `json:"process_sd" doc:"standard deviation of the parts, same unit, above 0"`
	Lower       float64 `json:"lower" doc:"lower tolerance limit, same unit"`
	Upper       float64 `json:"upper" doc:"upper tolerance limit, same unit"`
	U           float64 `json:"u" doc:"standard uncertainty of a measurement, same unit"`
	Guard       float64 `json:"guard" doc:"how far acceptance stays inside each limit, same unit; negative widens"`
}

type riskOut struct {
	FalseAccept float64 `json:"false_accept" doc:"probability that a part is out and accepted"`
	FalseReject float64 `json:"false_reject" doc:"probability that a part is good and rejected"`
}

func decideRisk(in riskIn) (riskOut, error) {
	r, err := stats.GlobalRisk(in.ProcessMean, in.ProcessSD, in.Lower, in.Upper, in.U, in.Guard)
	if err != nil {
		return riskOut{}, asStatsError(err)
	}
	return riskOut{r.FalseAccept, r.FalseReject}, nil
}
