package length

import (
	"fmt"
	"math"
)

// Length is an exact length in whole nanometres. The zero value is zero length.
type Length int64

// Units of length. One inch is 25.4 mm exactly (international inch, 1959).
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Centimetre        = 10 * Millimetre
	Metre             = 1000 * Millimetre
	Thou              = 25_400 * Nanometre
	Inch              = 25_400_000 * Nanometre
	Foot              = 12 * Inch
)

// Limit bounds every length read from outside: 100 m either way, ample for a bar and small enough
// that sums of many and squares of deviations stay far from overflow.
const Limit = 100 * Metre

// MM returns the length in millimetres as a float64, for curve mathematics only: limits are compared
// as Length.
func (l Length) MM() float64 { return float64(l) / 1e6 }

// FromMM returns the length nearest to mm millimetres, ties to even. NaN, infinities and values
// beyond the int64 range are errors.
func FromMM(mm float64) (Length, error) {
	nm := math.RoundToEven(mm * 1e6)
	if !(math.Abs(nm) < 1<<63) {
		return 0, fmt.Errorf("turn %g mm into a length: it is not a number within 9.2e12 mm; look at what it was computed from", mm)
	}
	return Length(nm), nil
}
