package words

import (
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"springline/qc/length"
)

const (
	minusSign = "−" // U+2212; what a person types and what a gauge sends keeps the hyphen
	either    = "±"
	tenthMM   = 100 * length.Micrometre
)

// Fixed is l in millimetres without the unit, rounded to step with ties to even, idle zeros kept: −1.50 for
// a step of 0.01 mm. A step of zero or less gives the exact length.
func Fixed(l, step length.Length) string {
	places := 0
	for p := step; p > 0 && p < length.Millimetre; p *= 10 {
		places++
	}
	power := length.Length(1)
	for range places {
		power *= 10
	}
	if step <= 0 || step*power != length.Millimetre || l > length.Limit || l < -length.Limit {
		return Minus(l.Text(length.MM, step))
	}
	// Without big numbers: the view is built after every reading.
	n, rest := l/step, l%step
	if rest = max(rest, -rest); 2*rest > step || 2*rest == step && n%2 != 0 {
		if l < 0 {
			n--
		} else {
			n++
		}
	}
	digits := strconv.AppendInt(make([]byte, 0, 24), int64(max(n, -n)), 10)
	for len(digits) <= places {
		digits = slices.Insert(digits, 0, '0')
	}
	if places > 0 {
		digits = slices.Insert(digits, len(digits)-places, '.')
	}
	if n < 0 {
		return minusSign + string(digits)
	}
	return string(digits)
}

// Signed is [Fixed] with a plus before what is above zero after rounding.
func Signed(l, step length.Length) string { return plus(Fixed(l, step), l > 0) }

// Tenth is a deviation to a tenth of a millimetre with its sign and without the unit: +1.2, −0.4, 0.0.
func Tenth(l length.Length) string { return Signed(l, tenthMM) }

// Exact is l in millimetres with the unit, without idle zeros: 1850.25 mm. It needs no big numbers, as [Fixed].
func Exact(l length.Length) string {
	if l%length.Millimetre == 0 {
		return Fixed(l, length.Millimetre) + " mm"
	}
	return strings.TrimRight(Fixed(l, length.Nanometre), "0") + " mm"
}

// ExactSigned is [Exact] with a plus before what is above zero.
func ExactSigned(l length.Length) string { return plus(Exact(l), l > 0) }

// MM is [Exact], rounded to a micrometre with ties away from zero.
func MM(l length.Length) string { return Exact(l.Round(length.Micrometre, length.TieAway)) }

// In is l in unit u, rounded to step, with the unit: 72.38 in.
func In(l length.Length, u length.Unit, step length.Length) string {
	if u == length.MM {
		return Fixed(l, step) + " mm"
	}
	return Minus(l.Text(u, step)) + " " + u.String()
}

// AtLeast is [Fixed], rounded up: an uncertainty is never printed smaller than it is.
func AtLeast(l, step length.Length) string {
	n := l / step
	if n*step < l {
		n++
	}
	return Fixed(n*step, step)
}

// AtMost is [Fixed], rounded down.
func AtMost(l, step length.Length) string {
	n := l / step
	if n*step > l {
		n--
	}
	return Fixed(n*step, step)
}

// Limits is a zone of deviations in exact millimetres: −6 to +6 mm.
func Limits(lower, upper length.Length) string {
	return strings.TrimSuffix(ExactSigned(lower), " mm") + " to " + ExactSigned(upper)
}

// Decimals is a plain number with so many decimals. Infinite is said as "infinite", none as "?".
func Decimals(x float64, places int) string {
	switch {
	case math.IsNaN(x):
		return "?"
	case math.IsInf(x, 1):
		return "infinite"
	case math.IsInf(x, -1):
		return minusSign + "infinite"
	}
	s := strconv.FormatFloat(x, 'f', places, 64)
	if x < 0 && strings.Trim(s, "-0.") == "" {
		return s[1:] // rounding left nothing to be negative
	}
	return Minus(s)
}

// SignedDecimals is [Decimals] with a plus before what is above zero after rounding.
func SignedDecimals(x float64, places int) string { return plus(Decimals(x, places), x > 0) }

// Shortest is a plain number in as few digits as tell it from its neighbours: 27.5.
func Shortest(x float64) string { return Minus(strconv.FormatFloat(x, 'f', -1, 64)) }

// Percent is a fraction as a percentage without idle zeros: 0.95 is 95 %.
func Percent(fraction float64) string {
	if math.IsNaN(fraction) || math.IsInf(fraction, 0) {
		return "?"
	}
	return Shortest(math.Round(fraction*100*1000)/1000) + " %"
}

// Share is a percentage to what it is worth: whole from ten on, one decimal below.
func Share(percent float64) string {
	if percent >= 10 {
		return Decimals(percent, 0) + " %"
	}
	return Decimals(percent, 1) + " %"
}

// Portion is a fraction as a percentage that is never rounded to none or to all.
func Portion(fraction float64) string {
	switch p := 100 * fraction; {
	case p == 0:
		return "0 %"
	case p < 0.1:
		return "under 0.1 %"
	case p > 99 && p < 100:
		return Decimals(math.Floor(100*p)/100, 2) + " %"
	default:
		return Share(p)
	}
}

// Digits2 is a standard deviation in millimetres to two digits and at most three decimals, without the unit.
func Digits2(mm float64) string {
	if !(mm > 0) {
		return "0"
	}
	// The exponent after rounding: 0.996 is 1.0 and not 1.00.
	_, exponent, _ := strings.Cut(strconv.FormatFloat(mm, 'e', 1, 64), "e")
	e, err := strconv.Atoi(exponent)
	if err != nil {
		return "?" // no finite number
	}
	return Decimals(mm, min(max(1-e, 0), 3))
}

func plus(s string, above bool) string {
	if above && strings.ContainsAny(s, "123456789") {
		return "+" + s
	}
	return s
}

var (
	hyphenMinus = regexp.MustCompile(`(^|[ (±])-([0-9])`)
	plusHyphen  = strings.NewReplacer("+-", either, "+/-", either)
)

// Minus sets true minus and plus-minus signs in a text that has hyphens for them.
func Minus(s string) string {
	if !strings.Contains(s, "-") {
		return s
	}
	return hyphenMinus.ReplaceAllString(plusHyphen.Replace(s), "${1}"+minusSign+"${2}")
}

// Count is a number with the word for what is counted: 1 lot, 3 lots.
func Count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}

// oneOf is the word alone that fits the number.
func oneOf(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

// List joins what is listed: a, b and c.
func List(items []string) string { return joined(items, " and ") }

// Or joins what one may choose from: a, b or c.
func Or(items []string) string { return joined(items, " or ") }

func joined(items []string, last string) string {
	n := len(items) - 1
	if n < 1 {
		return strings.Join(items, "")
	}
	return strings.Join(items[:n], ", ") + last + items[n]
}

// Named puts what a thing is before its name, unless the name says it: lot L1, but lot-1.
func Named(what, name string) string {
	if len(name) >= len(what) && strings.EqualFold(name[:len(what)], what) {
		return name
	}
	return what + " " + name
}

// Capital begins s with a capital letter.
func Capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// Sentence is s begun with a capital letter and ended with a full stop, unless it has one.
func Sentence(s string) string {
	if s == "" || strings.ContainsAny(s[len(s)-1:], ".!?") {
		return Capital(s)
	}
	return Capital(s) + "."
}
