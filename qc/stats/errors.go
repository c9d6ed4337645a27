package stats

import (
	"fmt"
	"math"
)

// Code says in one word why a computation was refused; scripts test for it.
type Code string

// The reasons for refusing.
const (
	TooFewPoints   Code = "too_few_points"
	NoSpread       Code = "no_spread"    // all values equal where a spread is divided by
	OutOfRange     Code = "out_of_range" // a value that cannot be
	BadShape       Code = "bad_shape"    // lists that should match in length do not
	BadChoice      Code = "bad_choice"   // a word that is none of those known
	NoFiniteCircle Code = "no_finite_circle"
)

// Error is a computation refused: why, over which argument, and what would do.
type Error struct {
	Code    Code
	Field   string // the argument, named as in the scripting door
	Message string
}

func (e *Error) Error() string { return e.Field + ": " + e.Message }

func refuse(code Code, field, format string, args ...any) *Error {
	return &Error{Code: code, Field: field, Message: fmt.Sprintf(format, args...)}
}

// maxMagnitude bounds data so that squares and sums of squares stay finite.
const maxMagnitude = 1e100

// checkData refuses lists shorter than least and values that are no numbers or absurdly large.
func checkData(field string, x []float64, least int) error {
	if len(x) < least {
		return refuse(TooFewPoints, field, "holds %d values; at least %d are needed", len(x), least)
	}
	for i, v := range x {
		if !(math.Abs(v) <= maxMagnitude) {
			return refuse(OutOfRange, fmt.Sprintf("%s[%d]", field, i), "is %g; values must be numbers up to 1e100", v)
		}
	}
	return nil
}

// checkPositive refuses what is not above zero or absurdly large.
func checkPositive(field string, v float64) error {
	if !(v > 0 && v <= maxMagnitude) {
		return refuse(OutOfRange, field, "is %g; it must be above 0", v)
	}
	return nil
}

// checkNonNegative refuses what is below zero or absurdly large.
func checkNonNegative(field string, v float64) error {
	if !(v >= 0 && v <= maxMagnitude) {
		return refuse(OutOfRange, field, "is %g; it must be 0 or more", v)
	}
	return nil
}

// checkFinite refuses NaN, infinities and the absurdly large.
func checkFinite(field string, v float64) error {
	if !(math.Abs(v) <= maxMagnitude) {
		return refuse(OutOfRange, field, "is %g; it must be a number up to 1e100", v)
	}
	return nil
}

// checkFraction refuses what does not lie strictly between 0 and 1.
func checkFraction(field string, v float64) error {
	if !(v > 0 && v < 1) {
		return refuse(OutOfRange, field, "is %g; it must lie between 0 and 1", v)
	}
	return nil
}

// firstError returns the first error that is one.
func firstError(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
