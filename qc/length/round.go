package length

import (
	"math/big"
	"strings"
)

// Tie says where a value goes that lies exactly midway between two multiples of the step
// (ISO 80000-1 Annex B: rule A to the even multiple, rule B to the larger magnitude).
type Tie int

// The two rules.
const (
	TieEven Tie = iota
	TieAway
)

// maxDecimalText bounds decimal texts from outside, so that rounding one cannot cost a minute.
const maxDecimalText = 1000

// RoundText rounds a decimal text to a whole multiple of a step, itself a decimal text above zero.
// The answer keeps as many decimals as the step has: 1.005 at 0.01 is "1.00" or "1.01". No binary
// fraction is involved. Errors are *ParseError and name the faulty text.
func RoundText(value, step string, tie Tie) (string, error) {
	v, _, err := decimalText(value)
	if err != nil {
		return "", err
	}
	s, decimals, err := decimalText(step)
	if err != nil {
		return "", err
	}
	if s.Sign() <= 0 {
		e := refusal(OutOfRange, "a rounding step must be above zero")
		e.Text = step
		return "", e
	}
	n := roundQuotient(new(big.Rat).Quo(v, s), tie)
	return new(big.Rat).Mul(new(big.Rat).SetInt(n), s).FloatString(decimals), nil
}

// Round returns the multiple of step nearest to l; a step of zero or less returns l. At the ends of
// the int64 range the multiple towards zero is returned.
func (l Length) Round(step Length, tie Tie) Length {
	if step <= 0 {
		return l
	}
	n := roundQuotient(big.NewRat(int64(l), int64(step)), tie)
	n.Mul(n, big.NewInt(int64(step)))
	if !n.IsInt64() {
		return l / step * step
	}
	return Length(n.Int64())
}

// roundQuotient rounds q to a whole number.
func roundQuotient(q *big.Rat, tie Tie) *big.Int {
	twice := new(big.Int).Lsh(new(big.Int).Abs(q.Num()), 1)
	twice.Add(twice, q.Denom())
	n, rest := twice.QuoRem(twice, new(big.Int).Lsh(q.Denom(), 1), new(big.Int))
	if rest.Sign() == 0 && tie == TieEven && n.Bit(0) == 1 {
		n.Sub(n, big.NewInt(1))
	}
	if q.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

// decimalText reads sign, digits and at most one point, and counts the digits after the point.
func decimalText(text string) (*big.Rat, int, error) {
	refuse := func(code Code, message string) (*big.Rat, int, error) {
		return nil, 0, &ParseError{Code: code, Text: text, Message: message}
	}
	t := strings.TrimSpace(text)
	switch {
	case t == "":
		return refuse(Empty, "nothing is there; write a decimal number such as 12.5")
	case len(t) > maxDecimalText:
		return refuse(OutOfRange, "it has more than 1000 characters")
	}
	digits := strings.TrimPrefix(t, "-")
	if len(digits) == len(t) {
		digits = strings.TrimPrefix(t, "+")
	}
	whole, frac, _ := strings.Cut(digits, ".")
	switch {
	case whole+frac == "":
		return refuse(BadNumber, "there is no digit in it; write a decimal number such as 12.5")
	case strings.ContainsAny(digits, "eE") && onlyDigits(strings.NewReplacer("e", "", "E", "", "+", "", "-", "").Replace(whole+frac)):
		return refuse(ExponentNotAllowed, "write the number out without an exponent")
	case !onlyDigits(whole + frac):
		return refuse(BadNumber, "it is not a plain decimal number such as 12.5")
	}
	r := decimalDigits(whole + frac)
	r.Quo(r, new(big.Rat).SetInt(pow10(len(frac))))
	if t[0] == '-' {
		r.Neg(r)
	}
	return r, len(frac), nil
}

func onlyDigits(s string) bool {
	for i := range len(s) {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

func pow10(n int) *big.Int {
	return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil)
}
