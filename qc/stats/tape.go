package stats

import "math"

// TapeClass is the accuracy class of a tape: I, II or III.
type TapeClass string

// TapeLimit is the largest permissible error in mm of a tape over a length in mm: a + b L with L in
// metres rounded up, plus c where the length starts at the tape's end face or hook (Directive
// 2014/32/EU, Annex MI-008 chapter I, tables 1 and 2).
func TapeLimit(class TapeClass, lengthMM float64, fromEndFace bool) (float64, error) {
	var a, b, c float64
	switch class {
	case "I":
		a, b, c = 0.1, 0.1, 0.1
	case "II":
		a, b, c = 0.3, 0.2, 0.2
	case "III":
		a, b, c = 0.6, 0.4, 0.3
	default:
		return 0, refuse(BadChoice, "class", "is %q; a tape is of class I, II or III", class)
	}
	if !(lengthMM > 0 && lengthMM <= 1e6) {
		return 0, refuse(OutOfRange, "length_mm", "is %g; a length is above 0 and at most 1000000 mm", lengthMM)
	}
	// Tenths of a millimetre are added as integers, so that 0.3 + 0.2 * 3 prints 0.9.
	limit := math.Round(10*a) + math.Round(10*b)*math.Ceil(lengthMM/1000)
	if fromEndFace {
		limit += math.Round(10 * c)
	}
	return limit / 10, nil
}

// TapeUse is a length measured with a tape.
type TapeUse struct {
	LengthMM, DivisionMM        float64
	Class                       TapeClass
	FromEndFace                 bool
	RepeatSDMM, RepeatDof       float64
	Readings                    int
	AlphaTapePerK, AlphaBarPerK float64
	TemperatureHalfwidthK       float64 // how far both may be from 20 C, together
}

// TapeBudget is the budget of a tape reading at 95 %: limit, division, repeatability of the mean and
// unequal expansion (JCGM 100:2008 4.3.7, F.2.2.1, G.4). The limit is shared by all readings and does
// not shrink with their number. Parts come in the order limit, resolution, repeat, temperature.
func TapeBudget(t TapeUse) (Combined, error) {
	limit, err := TapeLimit(t.Class, t.LengthMM, t.FromEndFace)
	if err != nil {
		return Combined{}, err
	}
	if err := firstError(
		checkPositive("division_mm", t.DivisionMM), checkNonNegative("repeat_sd_mm", t.RepeatSDMM),
		checkNonNegative("temperature_halfwidth_k", t.TemperatureHalfwidthK),
		checkExpansion("alpha_tape_per_k", t.AlphaTapePerK), checkExpansion("alpha_bar_per_k", t.AlphaBarPerK),
	); err != nil {
		return Combined{}, err
	}
	if !(t.RepeatDof >= 1) {
		return Combined{}, refuse(OutOfRange, "repeat_dof", "is %g; at least 1 is needed", t.RepeatDof)
	}
	if t.Readings < 1 {
		return Combined{}, refuse(OutOfRange, "readings", "is %d; at least 1 is needed", t.Readings)
	}
	return Combine(0.95, []Part{
		Rectangular("limit", limit),
		Resolution("resolution", t.DivisionMM),
		Repeated("repeat", t.RepeatSDMM, t.Readings, t.RepeatDof),
		Rectangular("temperature", t.LengthMM*math.Abs(t.AlphaTapePerK-t.AlphaBarPerK)*t.TemperatureHalfwidthK),
	})
}

// checkExpansion bounds a thermal expansion: solids lie below 1e-3 per K, and a value given in parts
// per million by mistake is caught.
func checkExpansion(field string, perK float64) error {
	if !(perK >= 0 && perK <= 1e-3) {
		return refuse(OutOfRange, field, "is %g; thermal expansion lies between 0 and 0.001 per K (steel 1.15e-5)", perK)
	}
	return nil
}
