package calc

import (
	"math"
	"slices"
)

func kindsStats() []Kind { return slices.Concat(kindsSeries(), kindsSpread()) }

// known is nil for what has no value: an infinite count, a ratio to nothing. It is printed as null.
func known(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// given is what an optional field holds, and otherwise what stands in for it.
func given(v *float64, otherwise float64) float64 {
	if v == nil {
		return otherwise
	}
	return *v
}
