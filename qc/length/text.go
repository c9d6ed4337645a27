package length

import (
	"math/big"
	"strconv"
	"strings"
)

// String is the exact length in millimetres without the unit and without idle zeros: 1850, 0.396875.
func (l Length) String() string {
	m := magnitude(int64(l))
	s := strconv.FormatUint(m/uint64(Millimetre), 10)
	if rest := m % uint64(Millimetre); rest != 0 {
		s += "." + strings.TrimRight(strconv.FormatUint(rest+uint64(Millimetre), 10)[1:], "0")
	}
	if l < 0 {
		return "-" + s
	}
	return s
}

// Text is the length in unit u without the unit's sign, rounded to a multiple of step, ties to even,
// with as many decimals as the step needs, idle zeros kept: 12.50 for a step of 0.01 mm.
func (l Length) Text(u Unit, step Length) string { return l.TextTie(u, step, TieEven) }

// TextTie is [Length.Text] with the rule for ties. A step that is no terminating decimal of the unit
// is printed to the first place finer than it. A step of zero or less prints the exact length; no
// unit prints millimetres.
func (l Length) TextTie(u Unit, step Length, tie Tie) string {
	size := u.Size()
	if size == 0 {
		size = Millimetre
	}
	if step <= 0 {
		step = Nanometre
	}
	places, exact := big.NewRat(int64(step), int64(size)).FloatPrec()
	if !exact {
		places = finerPlace(step, size)
	}
	n := roundQuotient(big.NewRat(int64(l), int64(step)), tie)
	v := new(big.Rat).SetFrac(n.Mul(n, big.NewInt(int64(step))), big.NewInt(int64(size)))
	s := v.FloatString(places)
	if v.Sign() < 0 && strings.Trim(s, "-0.") == "" {
		return s[1:] // rounding left nothing to be negative
	}
	return s
}

// finerPlace is the least number of decimals whose last place is no coarser than step/size.
func finerPlace(step, size Length) int {
	places := 0
	for last := big.NewRat(1, 1); last.Cmp(big.NewRat(int64(step), int64(size))) > 0; places++ {
		last.Quo(last, big.NewRat(10, 1))
	}
	return places
}

// FeetInches is the length in feet, inches and a reduced fraction, rounded to 1/den inch with ties to
// even; den is 1, 2, 4, 8, 16, 32, 64 or 128, any other is taken as 16: 6' 11 3/4", -3/16", 0".
// Below one foot the feet are left out.
func (l Length) FeetInches(den int) string {
	switch den {
	case 1, 2, 4, 8, 16, 32, 64, 128:
	default:
		den = 16
	}
	parts := roundQuotient(new(big.Rat).SetFrac(
		new(big.Int).Mul(big.NewInt(int64(l)), big.NewInt(int64(den))), big.NewInt(int64(Inch))), TieEven).Int64()
	sign := ""
	if parts < 0 {
		sign, parts = "-", -parts
	}
	inches, num := parts/int64(den), parts%int64(den)
	for num != 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	feet, inches := inches/12, inches%12
	var b strings.Builder
	b.WriteString(sign)
	if feet > 0 {
		b.WriteString(strconv.FormatInt(feet, 10) + "' ")
	}
	switch {
	case num == 0:
		b.WriteString(strconv.FormatInt(inches, 10))
	case inches == 0 && feet == 0:
		b.WriteString(strconv.FormatInt(num, 10) + "/" + strconv.Itoa(den))
	default:
		b.WriteString(strconv.FormatInt(inches, 10) + " " + strconv.FormatInt(num, 10) + "/" + strconv.Itoa(den))
	}
	return b.String() + `"`
}

// magnitude is |x| as unsigned, right for the most negative integer too.
func magnitude(x int64) uint64 {
	if x < 0 {
		return -uint64(x)
	}
	return uint64(x)
}
