package length

import (
	"math/big"
	"strconv"
)

// Decimal reads a gauge's value: plain decimal text (sign, digits, one point) in the gauge's own unit,
// which is one of mm, cm, m, um, in, ft, thou or the UCUM codes [in_i], [ft_i] and [mil_i]. The answer
// is exact: a value that is not a whole number of nanometres is refused as inexact, never rounded.
// Errors are *ParseError.
func Decimal(text string, unit string) (Length, error) {
	u, ok := gaugeUnit(unit)
	if !ok {
		return 0, &ParseError{Code: BadUnit, Text: text,
			Message: "the unit " + strconv.Quote(unit) + " is not one of mm, cm, m, um, in, ft, thou"}
	}
	r, _, err := decimalText(text)
	if err != nil {
		return 0, err
	}
	r.Mul(r, big.NewRat(int64(u), 1))
	if new(big.Rat).Abs(r).Cmp(big.NewRat(int64(Limit), 1)) > 0 {
		return 0, &ParseError{Code: OutOfRange, Text: text, Message: "it is beyond 100 m; check the gauge's unit"}
	}
	if !r.IsInt() {
		return 0, &ParseError{Code: Inexact, Text: text,
			Message: "in " + unit + " it is not a whole number of nanometres; check the gauge's unit and resolution"}
	}
	return Length(r.Num().Int64()), nil
}

func gaugeUnit(name string) (Length, bool) {
	switch name {
	case "um":
		return Micrometre, true
	case "[in_i]":
		return Inch, true
	case "[ft_i]":
		return Foot, true
	case "[mil_i]":
		return Thou, true
	}
	u, ok := UnitNamed(name)
	return u.Size(), ok
}
