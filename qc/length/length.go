package length

// Length is an exact length in whole nanometres. The zero value is zero length.
type Length int64

// Units of length. One inch is 25.4 mm exactly (international inch, 1959).
const (
	Nanometre  Length = 1
	Micrometre        = 1000 * Nanometre
	Millimetre        = 1000 * Micrometre
	Metre             = 1000 * Millimetre
	Inch              = 25_400_000 * Nanometre
	Foot              = 12 * Inch
)

// MM returns the length in millimetres as a float64, for curve mathematics only: limits are compared
// as Length.
func (l Length) MM() float64 { return float64(l) / 1e6 }
