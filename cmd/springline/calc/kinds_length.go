package calc

import (
	"errors"

	"springline/qc/length"
	"springline/qc/stats"
)

func kindsLength() []Kind {
	return []Kind{
		row("length.parse", "a typed length to exact nanometres, or why it is refused",
			"25.4 mm to the inch (international inch, 1959); grammar and refusals of qc/length", parseLength),
		row("length.round", "a decimal text rounded to a multiple of a step",
			"ISO 80000-1 Annex B, rules A (even) and B (away)", roundLength),
		row("length.at_20c", "a tape reading corrected to 20 C",
			"ISO 1 reference temperature; L20 = reading (1 + a_tape (t_tape - 20)) / (1 + a_bar (t_bar - 20))", lengthAt20),
	}
}

type parseLengthIn struct {
	Text        string `json:"text" doc:"what was typed"`
	DefaultUnit string `json:"default_unit" doc:"unit of a bare number: mm, cm, m, in or ft"`
	Decimal     string `json:"decimal" doc:"decimal sign of the field: auto, point or comma"`
	Signed      bool   `json:"signed" doc:"whether a minus is allowed"`
}

type parseLengthOut struct {
	NM    int64  `json:"nm" doc:"whole nanometres, ties to even"`
	MM    string `json:"mm" doc:"exact millimetres, decimal text"`
	Typed string `json:"typed" doc:"what was understood, in one spelling"`
}

func parseLength(in parseLengthIn) (parseLengthOut, error) {
	o := length.Options{Signed: in.Signed}
	var ok bool
	switch in.DefaultUnit {
	case "mm", "cm", "m", "in", "ft":
		o.DefaultUnit, ok = length.UnitNamed(in.DefaultUnit)
	}
	if !ok {
		return parseLengthOut{}, refuse("bad_choice", "default_unit", "is %q; choose mm, cm, m, in or ft", in.DefaultUnit)
	}
	switch in.Decimal {
	case "auto":
		o.Decimal = length.DecimalAuto
	case "point":
		o.Decimal = length.DecimalPoint
	case "comma":
		o.Decimal = length.DecimalComma
	default:
		return parseLengthOut{}, refuse("bad_choice", "decimal", "is %q; choose auto, point or comma", in.Decimal)
	}
	e, err := length.Read(in.Text, o)
	return parseLengthOut{NM: int64(e.Length), MM: e.MM, Typed: e.Typed}, asLengthError(err, "text")
}

// asLengthError keeps the parser's code and names the field.
func asLengthError(err error, field string) error {
	var pe *length.ParseError
	if errors.As(err, &pe) {
		return refuse(string(pe.Code), field, "%v", err)
	}
	return err
}

type roundLengthIn struct {
	Value string `json:"value" doc:"decimal text"`
	Step  string `json:"step" doc:"decimal text above zero; the answer has as many decimals"`
	Tie   string `json:"tie" doc:"even or away: where a value midway between two multiples goes"`
}

type roundLengthOut struct {
	Text string `json:"text" doc:"the nearest multiple of the step, idle zeros kept"`
}

func roundLength(in roundLengthIn) (roundLengthOut, error) {
	tie, ok := map[string]length.Tie{"even": length.TieEven, "away": length.TieAway}[in.Tie]
	if !ok {
		return roundLengthOut{}, refuse("bad_choice", "tie", "is %q; choose even or away", in.Tie)
	}
	if _, err := length.RoundText("0", in.Step, tie); err != nil {
		return roundLengthOut{}, asLengthError(err, "step")
	}
	text, err := length.RoundText(in.Value, in.Step, tie)
	return roundLengthOut{Text: text}, asLengthError(err, "value")
}

type lengthAt20In struct {
	ReadingMM float64 `json:"reading_mm" doc:"tape reading, mm, above 0"`
	BarC      float64 `json:"bar_c" doc:"bar temperature, degrees C"`
	TapeC     float64 `json:"tape_c" doc:"tape temperature, degrees C"`
	AlphaBar  float64 `json:"alpha_bar_per_k" doc:"thermal expansion of the bar, per K, 0 to 1e-3"`
	AlphaTape float64 `json:"alpha_tape_per_k" doc:"thermal expansion of the tape, per K, 0 to 1e-3"`
}

type lengthAt20Out struct {
	LengthMM float64 `json:"length_mm" doc:"length of the bar at 20 C, mm"`
}

func lengthAt20(in lengthAt20In) (lengthAt20Out, error) {
	l, err := stats.At20C(in.ReadingMM, in.BarC, in.TapeC, in.AlphaBar, in.AlphaTape)
	return lengthAt20Out{LengthMM: l}, err
}
