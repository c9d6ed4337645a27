package stats

import (
	"errors"
	"math"
	"testing"
)

// near fails unless got is within rel of want or within abs of it.
func near(t *testing.T, what string, got, want, rel, abs float64) {
	t.Helper()
	if off := math.Abs(got - want); !(off <= rel*math.Abs(want) || off <= abs) {
		t.Errorf("%s is %.15g, want %.15g (rel %g, abs %g)", what, got, want, rel, abs)
	}
}

// printed fails unless got rounds to want as printed with that many decimals.
func printed(t *testing.T, what string, got, want float64, decimals int) {
	t.Helper()
	near(t, what, got, want, 0, 0.5000001*math.Pow10(-decimals))
}

// refused fails unless err is an *Error with that code and field.
func refused(t *testing.T, what string, err error, code Code, field string) {
	t.Helper()
	var e *Error
	if !errors.As(err, &e) || e.Code != code || e.Field != field || e.Message == "" {
		t.Errorf("%s: %v, want %s on %s", what, err, code, field)
	}
}

func must[T any](t *testing.T) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
}
