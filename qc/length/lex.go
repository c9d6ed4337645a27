package length

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

type tokenKind uint8

const (
	tokEnd tokenKind = iota
	tokNumber
	tokSpace
	tokSlash
	tokVulgar // ½ and its like
	tokFoot
	tokInch
	tokUnit // mm cm m thou
	tokWord // letters that are no unit
	tokPlus
	tokHyphen
	tokMinus // U+2212, a sign and never a joiner
)

type token struct {
	kind     tokenKind
	text     string // digits as typed with group spaces made plain, or the word
	unit     Unit
	num, den string // of a vulgar fraction
}

// lex splits a trimmed entry. It refuses characters that stand in no entry, and exponents, which
// would otherwise look like a unit that starts with e.
func lex(text string) ([]token, *ParseError) {
	rs := []rune(text)
	var toks []token
	for i := 0; i < len(rs); {
		t, n, err := lexOne(rs, i, toks)
		if err != nil {
			return nil, err
		}
		toks = append(toks, t)
		i += n
	}
	return append(toks, token{kind: tokEnd}), nil
}

func lexOne(rs []rune, i int, before []token) (token, int, *ParseError) {
	r := rs[i]
	switch {
	case isDigit(r) || r == '.' || r == ',':
		text, n := lexNumber(rs[i:])
		return token{kind: tokNumber, text: text}, n, nil
	case isSpace(r):
		n := 1
		for i+n < len(rs) && isSpace(rs[i+n]) {
			n++
		}
		return token{kind: tokSpace}, n, nil
	case isFootMark(r):
		if i+1 < len(rs) && isFootMark(rs[i+1]) {
			return token{kind: tokInch}, 2, nil
		}
		return token{kind: tokFoot}, 1, nil
	case r == '"' || r == '\u2033' || r == '\u201c' || r == '\u201d':
		return token{kind: tokInch}, 1, nil
	case r == '/' || r == '\u2044':
		return token{kind: tokSlash}, 1, nil
	case r == '+':
		return token{kind: tokPlus}, 1, nil
	case r == '-':
		return token{kind: tokHyphen}, 1, nil
	case r == '\u2212':
		return token{kind: tokMinus}, 1, nil
	case isLetter(r):
		return lexWord(rs, i, before)
	}
	if num, den, ok := vulgar(r); ok {
		return token{kind: tokVulgar, num: num, den: den}, 1, nil
	}
	if unicode.IsDigit(r) || unicode.IsNumber(r) {
		return token{}, 0, refusal(BadCharacter, "%q is not one of the digits 0 to 9; type plain digits", r)
	}
	if r == utf8.RuneError {
		return token{}, 0, refusal(BadCharacter, "it holds bytes that are no character; type it again")
	}
	return token{}, 0, refusal(BadCharacter, "%q stands in no length; use digits, one decimal sign, a fraction and a unit", r)
}

// lexNumber takes digits and separators. A no-break or thin space between two digits belongs to the
// number, except before the numerator of a fraction, where it parts the inches from their fraction.
func lexNumber(rs []rune) (string, int) {
	var b strings.Builder
	i := 0
	for i < len(rs) {
		r := rs[i]
		switch {
		case isDigit(r) || r == '.' || r == ',':
			b.WriteRune(r)
		case isGroupSpace(r) && i > 0 && isDigit(rs[i-1]) && i+1 < len(rs) && isDigit(rs[i+1]) && !startsFraction(rs[i+1:]):
			b.WriteByte(' ')
		default:
			return b.String(), i
		}
		i++
	}
	return b.String(), i
}

func startsFraction(rs []rune) bool {
	i := 0
	for i < len(rs) && isDigit(rs[i]) {
		i++
	}
	return i < len(rs) && (rs[i] == '/' || rs[i] == '\u2044')
}

func lexWord(rs []rune, i int, before []token) (token, int, *ParseError) {
	n := 0
	for i+n < len(rs) && isLetter(rs[i+n]) {
		n++
	}
	word := strings.ToLower(string(rs[i : i+n]))
	if word == "e" && len(before) > 0 && before[len(before)-1].kind == tokNumber && i+1 < len(rs) {
		if next := rs[i+1]; isDigit(next) || next == '+' || next == '-' || next == '\u2212' {
			return token{}, 0, refusal(ExponentNotAllowed, "write the number out without an exponent")
		}
	}
	switch u, ok := UnitNamed(word); {
	case ok && u == FT:
		return token{kind: tokFoot}, n, nil
	case ok && u == IN:
		return token{kind: tokInch}, n, nil
	case ok:
		return token{kind: tokUnit, unit: u}, n, nil
	}
	return token{kind: tokWord, text: word}, n, nil
}

func isDigit(r rune) bool  { return r >= '0' && r <= '9' }
func isLetter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

// isGroupSpace: no-break, narrow no-break and thin space part groups of digits (ISO 80000-1 7.3.1);
// nobody types them by accident.
func isGroupSpace(r rune) bool { return r == '\u00a0' || r == '\u202f' || r == '\u2009' }

func isSpace(r rune) bool { return r == ' ' || r == '\t' || isGroupSpace(r) }

// isFootMark: the straight mark, the prime, the curled quotes that phones put in, the acute accent.
func isFootMark(r rune) bool {
	return r == '\'' || r == '\u2032' || r == '\u2019' || r == '\u2018' || r == '\u00b4'
}

// vulgar resolves the one-character fractions by hand: Unicode compatibility mapping would turn 11¾
// into 113/4. Thirds, fifths and the like are resolved too, to be refused for their denominator.
func vulgar(r rune) (num, den string, ok bool) {
	switch r {
	case '½':
		return "1", "2", true
	case '¼':
		return "1", "4", true
	case '¾':
		return "3", "4", true
	case '⅛':
		return "1", "8", true
	case '⅜':
		return "3", "8", true
	case '⅝':
		return "5", "8", true
	case '⅞':
		return "7", "8", true
	case '⅓':
		return "1", "3", true
	case '⅔':
		return "2", "3", true
	case '⅕':
		return "1", "5", true
	case '⅖':
		return "2", "5", true
	case '⅗':
		return "3", "5", true
	case '⅘':
		return "4", "5", true
	case '⅙':
		return "1", "6", true
	case '⅚':
		return "5", "6", true
	case '⅐':
		return "1", "7", true
	case '⅑':
		return "1", "9", true
	case '⅒':
		return "1", "10", true
	}
	return "", "", false
}
