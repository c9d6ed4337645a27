package arch

import (
	"fmt"
	"math"
)

// InputError is a value that no bar can have. Field is the quantity at fault, with its unit, in the
// spelling of the scripting door ("radius_mm"); Code is one word for scripts.
type InputError struct {
	Code  string
	Field string
	Why   string
}

func (e *InputError) Error() string { return e.Field + " " + e.Why }

// Refuse makes an InputError.
func Refuse(code, field, format string, args ...any) *InputError {
	return &InputError{Code: code, Field: field, Why: fmt.Sprintf(format, args...)}
}

// biggest keeps squares and cubes of lengths inside float64: a thousand kilometres.
const biggest = 1e9

// CheckPositive refuses a value that is not a positive length, moment or stress that can be computed with.
func CheckPositive(field string, v float64) error {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return Refuse("not_finite", field, "must be a finite number")
	case v <= 0:
		return Refuse("out_of_range", field, "is %g; it must be more than zero", v)
	case v < 1e-9 || v > biggest:
		return Refuse("out_of_range", field, "is %g; nothing of that size is bent", v)
	}
	return nil
}

// CheckNotNegative refuses NaN, infinities, negative values and sizes that would overflow.
func CheckNotNegative(field string, v float64) error {
	if v < 0 {
		return Refuse("out_of_range", field, "is %g; it cannot be negative", v)
	}
	return CheckFinite(field, v)
}

// CheckFinite refuses NaN, infinities and sizes that would overflow.
func CheckFinite(field string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Refuse("not_finite", field, "must be a finite number")
	}
	if math.Abs(v) > biggest {
		return Refuse("out_of_range", field, "is %g; nothing of that size is bent", v)
	}
	return nil
}

// firstError returns the first error that is not nil.
func firstError(errs ...error) error {
	for _, e := range errs {
		if e != nil {
			return e
		}
	}
	return nil
}
