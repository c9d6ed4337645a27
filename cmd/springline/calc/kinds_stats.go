package calc

import (
	"errors"
	"math"
	"slices"

	"springline/qc/stats"
)

func kindsStats() []Kind { return slices.Concat(kindsSeries(), kindsSpread()) }

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
