package length

import (
	"math/big"
	"strings"
)

// DecimalSign says which sign parts the whole from the decimals in the field that was typed into.
type DecimalSign int

// With DecimalAuto a point is a decimal point and a comma is one where it cannot group thousands.
const (
	DecimalAuto DecimalSign = iota
	DecimalPoint
	DecimalComma
)

// number is a run of digits with optional grouping and decimals.
type number struct {
	value *big.Rat
	plain bool   // digits only: may be the whole part of a fraction, or feet before inches
	text  string // normalised: no grouping, decimal point, as many decimals as typed
}

// readNumber reads raw, which holds digits, points, commas and, for every no-break or thin space that
// stood between digits, a space. A text with two likely readings is refused.
func readNumber(raw string, sign DecimalSign) (number, *ParseError) {
	if onlyDigits(raw) {
		return numberOf(raw, "", true)
	}
	if strings.Contains(raw, " ") {
		return spacedNumber(raw, sign)
	}
	points, commas := strings.Count(raw, "."), strings.Count(raw, ",")
	if points > 0 && commas > 0 {
		return groupedNumber(raw, sign)
	}
	mark := byte('.')
	if commas > 0 {
		mark = ','
	}
	decimalHere := sign == DecimalAuto && mark == '.' ||
		sign == DecimalPoint && mark == '.' || sign == DecimalComma && mark == ','
	whole, frac, _ := strings.Cut(raw, string(mark))
	if points+commas > 1 {
		return severalMarks(raw, mark, sign, decimalHere)
	}
	if decimalHere {
		return numberOf(whole, frac, false)
	}
	// The other sign: thousands as written elsewhere, or a slip of the decimal key?
	if len(whole) >= 1 && len(whole) <= 3 && strings.Trim(whole, "0") != "" && len(frac) == 3 {
		return number{}, refusal(AmbiguousSeparator,
			"it may mean %s%s or %s.%s; write it without the %q, or with all its decimals and a unit", whole, frac, whole, frac, mark)
	}
	if sign == DecimalAuto {
		return numberOf(whole, frac, false)
	}
	return number{}, refusal(BadGrouping, "%q groups thousands in this field and does not stand before three digits; the decimal "+
		"sign is %q here", mark, other(mark))
}

// severalMarks reads 1,234,567: the same mark more than once can only group.
func severalMarks(raw string, mark byte, sign DecimalSign, decimalHere bool) (number, *ParseError) {
	groups := strings.Split(raw, string(mark))
	if wellGrouped(groups) && (sign == DecimalAuto || !decimalHere) {
		return numberOf(strings.Join(groups, ""), "", false)
	}
	if decimalHere {
		return number{}, refusal(BadNumber, "the decimal sign stands more than once; write one number")
	}
	return number{}, refusal(BadGrouping, "thousands are grouped by three digits, such as 1,234,567; write it without grouping")
}

// groupedNumber reads 1,234.5 and 1.234,5: the mark that comes last parts off the decimals.
func groupedNumber(raw string, sign DecimalSign) (number, *ParseError) {
	last := raw[strings.LastIndexAny(raw, ".,")]
	whole, frac, _ := strings.Cut(raw, string(last))
	if strings.ContainsRune(frac, rune(last)) || strings.ContainsRune(frac, rune(other(last))) {
		return number{}, refusal(BadNumber, "there is more than one decimal sign in it; write one number")
	}
	if sign == DecimalPoint && last != '.' || sign == DecimalComma && last != ',' {
		return number{}, refusal(BadGrouping, "the decimal sign is %q in this field; write it without grouping", other(last))
	}
	groups := strings.Split(whole, string(other(last)))
	if !wellGrouped(groups) {
		return number{}, refusal(BadGrouping, "thousands are grouped by three digits; write it without grouping")
	}
	return numberOf(strings.Join(groups, ""), frac, false)
}

// spacedNumber reads 1 234,5 with no-break spaces: they group, so a comma or point is decimal.
func spacedNumber(raw string, sign DecimalSign) (number, *ParseError) {
	whole, frac := raw, ""
	if i := strings.IndexAny(raw, ".,"); i >= 0 {
		if sign == DecimalPoint && raw[i] != '.' || sign == DecimalComma && raw[i] != ',' {
			return number{}, refusal(BadGrouping, "spaces and another sign both group here; the decimal sign is %q in this field", other(raw[i]))
		}
		whole, frac = raw[:i], raw[i+1:]
	}
	groups := strings.Split(whole, " ")
	if !wellGrouped(groups) || !onlyDigits(frac) {
		return number{}, refusal(BadGrouping, "thousands are grouped by three digits and decimals are not grouped; write it without grouping")
	}
	return numberOf(strings.Join(groups, ""), frac, false)
}

func wellGrouped(groups []string) bool {
	for i, g := range groups {
		if !onlyDigits(g) || i > 0 && len(g) != 3 || i == 0 && (len(g) < 1 || len(g) > 3) {
			return false
		}
	}
	return len(groups) > 1
}

func other(mark byte) byte {
	if mark == '.' {
		return ','
	}
	return '.'
}

func numberOf(whole, frac string, plain bool) (number, *ParseError) {
	if whole+frac == "" {
		return number{}, refusal(BadNumber, "there is a decimal sign without a digit")
	}
	r := decimalDigits(whole + frac)
	r.Quo(r, new(big.Rat).SetInt(pow10(len(frac))))
	text := strings.TrimLeft(whole, "0")
	if text == "" {
		text = "0"
	}
	if frac != "" {
		text += "." + frac
	}
	return number{value: r, plain: plain, text: text}, nil
}

// decimalDigits reads digits. The base is said because big.Rat reads a leading 0 of a fraction's
// numerator as octal.
func decimalDigits(s string) *big.Rat {
	n, ok := new(big.Int).SetString(s, 10)
	if !ok {
		panic("length: digits were not checked: " + s)
	}
	return new(big.Rat).SetInt(n)
}
