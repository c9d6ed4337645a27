package wire

import (
	"math/big"
	"strings"
)

// number forms; see the field Number of [Format].
type numberForm uint8

const (
	plainNumber numberForm = iota
	nr1
	nr2
	nr3
	nrf
)

// span is a part of a frame.
type span struct{ from, to int }

// numberAt is what scanNumber found: the digits before and after the mark, and the exponent.
type numberAt struct {
	neg        bool
	signed     bool
	whole      span
	frac       span
	mark       byte // '.', ',' or 0
	exp        int
	hasExp     bool
	end        int
	overflowed bool // larger than anything that is a length: over range
}

// maxDigits bounds a value: 18 significant digits fit an int64 and no gauge sends more.
const maxDigits = 18

func isLetter(c byte) bool { return c|0x20 >= 'a' && c|0x20 <= 'z' }

func isDigit(c byte) bool { return c-'0' <= 9 }

// scanNumber reads digits, mark, digits and, where one stands, an exponent from b[i:]. found is false
// when no digit stands there. The number forms NR1, NR2 and NR3 are those of IEEE 488.2, clause 8.7.
func scanNumber(b []byte, i int, n *numberAt) (found bool) {
	j := i
	for j < len(b) && isDigit(b[j]) {
		j++
	}
	n.whole = span{i, j}
	n.frac = span{j, j}
	n.mark = 0
	if j < len(b) && (b[j] == '.' || b[j] == ',') {
		k := j + 1
		for k < len(b) && isDigit(b[k]) {
			k++
		}
		if k > j+1 || j > i {
			n.mark = b[j]
			n.frac = span{j + 1, k}
			j = k
		}
	}
	if j == i {
		return false
	}
	n.end = j
	n.exp, n.hasExp, n.overflowed = 0, false, false
	if j < len(b) && (b[j] == 'E' || b[j] == 'e') {
		scanExponent(b, j+1, n)
	}
	return true
}

func scanExponent(b []byte, k int, n *numberAt) {
	neg := false
	if k < len(b) && (b[k] == '+' || b[k] == '-') {
		neg = b[k] == '-'
		k++
	}
	from := k
	for k < len(b) && isDigit(b[k]) {
		if n.exp < 10_000 {
			n.exp = n.exp*10 + int(b[k]-'0')
		}
		k++
	}
	if k == from {
		n.exp = 0
		return // an E without digits is a letter, not an exponent
	}
	if neg {
		n.exp = -n.exp
	}
	n.hasExp = true
	n.end = k
	// IEEE 488.2 instruments answer 9.9E37 for over-range and 9.91E37 for not-a-number (from memory);
	// anything of that size is no length.
	lead := n.whole.from
	for lead < n.whole.to && b[lead] == '0' {
		lead++
	}
	n.overflowed = lead < n.whole.to && n.whole.to-lead+n.exp > 16
}

// checkForm says why the number is not of the wanted form, or "".
func (n *numberAt) checkForm(form numberForm, decimal byte) string {
	switch {
	case n.mark != 0 && decimal != 0 && n.mark != decimal:
		if decimal == '.' {
			return "decimal-comma"
		}
		return "decimal-point"
	case n.hasExp && form != nr3 && form != nrf:
		return "exponent-unexpected"
	case form == nr3 && !n.hasExp:
		return "exponent-missing"
	case form == nr1 && n.mark != 0:
		return "decimal-unexpected"
	case form == nr2 && (n.mark == 0 || n.frac.from == n.frac.to):
		return "decimals-missing"
	case n.exp > 30 || n.exp < -30:
		return "exponent-too-large"
	}
	return ""
}

// tooManyDigits reports whether the value has more significant digits than maxDigits.
func (n *numberAt) tooManyDigits(b []byte) bool {
	from := n.whole.from
	for from < n.whole.to-1 && b[from] == '0' {
		from++
	}
	return n.whole.to-from+n.frac.to-n.frac.from > maxDigits
}

func (n *numberAt) isZero(b []byte) bool {
	for _, s := range [2]span{n.whole, n.frac} {
		for _, c := range b[s.from:s.to] {
			if c != '0' {
				return false
			}
		}
	}
	return true
}

// write writes the value as plain decimal text. Leading zeros and a plus sign are dropped, trailing
// zeros kept, a comma becomes a point, an exponent shifts the point; nothing is rounded. There is no
// zero below zero.
func (n *numberAt) write(w *strings.Builder, b []byte) {
	if n.neg && !n.isZero(b) {
		w.WriteByte('-')
	}
	if n.exp != 0 {
		n.writeShifted(w, b)
		return
	}
	from := n.whole.from
	for from < n.whole.to-1 && b[from] == '0' {
		from++
	}
	if from == n.whole.to {
		w.WriteByte('0')
	}
	switch {
	case n.frac.from == n.frac.to:
		w.Write(b[from:n.whole.to])
	case n.mark == '.':
		w.Write(b[from:n.frac.to])
	default:
		w.Write(b[from:n.whole.to])
		w.WriteByte('.')
		w.Write(b[n.frac.from:n.frac.to])
	}
}

// writeShifted writes the digits with the point moved by the exponent. Places that the gauge did not
// send are zeros.
func (n *numberAt) writeShifted(w *strings.Builder, b []byte) {
	whole, total := n.whole.to-n.whole.from, n.whole.to-n.whole.from+n.frac.to-n.frac.from
	digit := func(i int) byte {
		switch {
		case i < 0 || i >= total:
			return '0'
		case i < whole:
			return b[n.whole.from+i]
		}
		return b[n.frac.from+i-whole]
	}
	point := whole + n.exp
	first := 0
	for first < point && digit(first) == '0' {
		first++
	}
	if first >= point {
		w.WriteByte('0')
	}
	for i := first; i < point; i++ {
		w.WriteByte(digit(i))
	}
	if point < total {
		w.WriteByte('.')
	}
	for i := point; i < total; i++ {
		w.WriteByte(digit(i))
	}
}

// notANumber classifies text that should have been a number: over_range for the ways in which gauges
// say that they cannot measure, else bad_number.
func notANumber(b []byte) (code, detail string) {
	t := strings.ToUpper(strings.Trim(string(b), " \t"))
	marks := 0
	for i := range len(t) {
		if strings.IndexByte("-+_*=#~.^?<>", t[i]) >= 0 {
			if t[i] != '.' {
				marks++
			}
		} else if t[i] != ' ' {
			break
		}
	}
	if marks >= 2 && !strings.ContainsAny(t, "0123456789") {
		return CodeOverRange, "gauge-marks"
	}
	word := strings.TrimLeft(t, "+- ")
	if k := strings.IndexAny(word, " \t"); k >= 0 {
		word = word[:k]
	}
	switch strings.Trim(word, ".!-0123456789") {
	case "OL", "OVER", "OVERLOAD", "OVERRANGE", "OVER_RANGE", "OVER-RANGE", "OFL", "OVF", "OVFL", "OVRNG", "OR", "OV", "O.L", "OVLD",
		"OVERFLOW",
		"HI", "LO", "UL", "UNDER", "UNDERRANGE", "UNDERFLOW", "UFL", "INF", "INFINITY", "NAN", "E", "ER", "ERR", "ERROR":
		return CodeOverRange, "gauge-cannot"
	}
	return CodeBadNumber, "digits-missing"
}

// scaled returns decimal text as a whole number of 1e-18, for exact comparison.
func scaled(s string) (*big.Int, bool) {
	t := strings.TrimLeft(s, "+-")
	whole, frac, _ := strings.Cut(t, ".")
	if whole+frac == "" || len(s)-len(t) > 1 || len(frac) > 18 || len(whole) > 30 {
		return nil, false
	}
	for _, c := range []byte(whole + frac) {
		if !isDigit(c) {
			return nil, false
		}
	}
	v, ok := new(big.Int).SetString(whole+frac+strings.Repeat("0", 18-len(frac)), 10)
	if ok && s[0] == '-' {
		v.Neg(v)
	}
	return v, ok
}
