package calc

import (
	"cmp"
	"math"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/stats"
)

func kindsTape() []Kind {
	return []Kind{
		row("gauge.tape_limit", "largest permissible error of a tape",
			"Directive 2014/32/EU, Annex MI-008 chapter I: a + b L, L in m rounded up, plus c from the end face", tapeLimit),
		row("budget.tape", "uncertainty of a tape reading, by parts and expanded at 95 %",
			"JCGM 100:2008 4.3.7, F.2.2.1, 5.1.2, G.4", tapeBudget),
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
	g, at, err := tapeOf(in.Class, in.LengthMM, in.FromEndFace)
	if err != nil {
		return tapeLimitOut{}, err
	}
	return tapeLimitOut{g.PermissibleError(at).MM()}, nil
}

// tapeOf is a classed tape as the bench knows one, and the length it is laid along.
func tapeOf(class string, lengthMM float64, fromEndFace bool) (g qc.Gauge, at length.Length, err error) {
	g = qc.Gauge{Kind: qc.Tape, Class: qc.TapeClass(class), EndFace: fromEndFace}
	if !g.Class.Known() {
		return g, 0, refuse("bad_choice", "class", "is %q; a tape is of class I, II or III", class)
	}
	at, err = wholeNM("length_mm", lengthMM, length.Nanometre)
	return g, at, err
}

// longest is how long a tape may be, and the bound of every length in a tape's budget: a kilometre.
const longest = 1e6 * length.Millimetre

// wholeNM is a length of least to a kilometre to the nearest nanometre, which is what the bench reckons in.
func wholeNM(field string, mm float64, least length.Length) (length.Length, error) {
	l, err := length.FromMM(mm)
	if err != nil || l < least || l > longest {
		return 0, refuse("out_of_range", field, "is %g; give %s to %s mm", mm, least, longest)
	}
	return l, nil
}

type tapeBudgetIn struct {
	LengthMM    float64 `json:"length_mm" doc:"measured length, mm, above 0"`
	Class       string  `json:"class" doc:"accuracy class: I, II or III"`
	DivisionMM  float64 `json:"division_mm" doc:"smallest division read, mm, above 0"`
	RepeatSDMM  float64 `json:"repeat_sd_mm" doc:"standard deviation of one reading, mm"`
	RepeatDof   float64 `json:"repeat_dof" doc:"degrees of freedom behind it, at least 1; a part of one does not count"`
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
	g, at, err := tapeOf(in.Class, in.LengthMM, in.FromEndFace)
	if err != nil {
		return tapeBudgetOut{}, err
	}
	if g.Resolution, err = wholeNM("division_mm", in.DivisionMM, length.Nanometre); err != nil {
		return tapeBudgetOut{}, err
	}
	if g.RepeatSD, err = wholeNM("repeat_sd_mm", in.RepeatSDMM, 0); err != nil {
		return tapeBudgetOut{}, err
	}
	switch {
	case !(in.RepeatDof >= 1):
		return tapeBudgetOut{}, refuse("out_of_range", "repeat_dof", "is %g; at least 1 is needed", in.RepeatDof)
	case in.Readings < 1:
		return tapeBudgetOut{}, refuse("out_of_range", "readings", "is %d; at least 1 is needed", in.Readings)
	case !(in.HalfwidthK >= 0 && in.HalfwidthK <= 1e4):
		return tapeBudgetOut{}, refuse("out_of_range", "temperature_halfwidth_k", "is %g; give 0 to 10000 K", in.HalfwidthK)
	}
	if err := cmp.Or(stats.CheckExpansion("alpha_tape_per_k", in.AlphaTape),
		stats.CheckExpansion("alpha_bar_per_k", in.AlphaBar)); err != nil {
		return tapeBudgetOut{}, err
	}
	g.RepeatDOF = int(math.Min(in.RepeatDof, math.MaxInt32))
	b := qc.NewBudget(g, qc.Use{At: at, Readings: in.Readings, AlphaBar: in.AlphaBar, AlphaTape: in.AlphaTape, BothK: in.HalfwidthK})
	e, err := b.Expand(0.95)
	mm := func(nm float64) float64 { return nm / float64(length.Millimetre) }
	return tapeBudgetOut{
		ULimit: mm(b.Limit), UResolution: mm(b.Resolution), URepeat: mm(b.Repeat), UTemperature: mm(b.Temperature),
		U: mm(e.U), Dof: known(e.Dof), Coverage: e.Coverage, Expanded: mm(e.Expanded),
	}, err
}
