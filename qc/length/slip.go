package length

import "math/big"

// Slip is a likely unit or key slip: the entry is wrong by a factor that people get wrong.
type Slip struct {
	Factor string // 10, 25.4, 304.8 or 1000
	Meant  Length // the entry put right
}

// SlipOf compares an entry with the value expected. If the entry is 10, 25.4, 304.8 or 1000 times too
// large or too small, within 2 %, it returns what was probably meant, to be asked and never assumed.
// An entry within 2 % of the expected value, or on the other side of zero, is no slip.
func SlipOf(entry, expected Length) (Slip, bool) {
	if entry == 0 || expected == 0 || (entry < 0) != (expected < 0) || near(big.NewRat(int64(entry), 1), expected) {
		return Slip{}, false
	}
	for _, f := range [...]struct {
		name     string
		num, den int64
	}{{"10", 10, 1}, {"25.4", 254, 10}, {"304.8", 3048, 10}, {"1000", 1000, 1}} {
		for _, factor := range [...]*big.Rat{big.NewRat(f.num, f.den), big.NewRat(f.den, f.num)} {
			meant := new(big.Rat).Mul(big.NewRat(int64(entry), 1), factor)
			if !near(meant, expected) {
				continue
			}
			return Slip{Factor: f.name, Meant: Length(roundQuotient(meant, TieEven).Int64())}, true
		}
	}
	return Slip{}, false
}

// near reports whether v is within 2 % of l.
func near(v *big.Rat, l Length) bool {
	off := new(big.Rat).Sub(v, big.NewRat(int64(l), 1))
	span := big.NewRat(int64(l), 50)
	return off.Abs(off).Cmp(span.Abs(span)) <= 0
}
