package wire

import (
	"slices"
	"strconv"
	"strings"
)

// column is one part of a fixed-width frame.
type column struct {
	kind  columnKind
	width int
	text  string // of a literal; the kind of a checksum
	frac  int    // implied decimals of a number, -1 = the mark is sent
}

type columnKind uint8

const (
	literalColumn columnKind = iota
	channelColumn
	signColumn
	numberColumn
	unitColumn
	statusColumn
	fillColumn
	checkColumn
)

// fixedLayout is a fixed-width frame, column by column.
type fixedLayout struct {
	columns []column
	end     string // terminator, "" when only the length ends a frame
	length  int    // without the terminator
}

// parseLayout reads the description of a fixed-width text frame: the columns in order, separated by
// spaces, each one of
//
//	'text'               these characters
//	CC                   channel, one character for each C
//	sign                 one character: +, - or space
//	N-char number        digits with a decimal mark, padded with zeros or with spaces in front
//	N-digit number       the same
//	N-char number with M decimals    no mark is sent; the last M digits are decimals
//	N-char unit          a unit word, padded with spaces
//	N-char status        status letters as in status_map, padded with spaces
//	N spaces             blanks
//	N-hex sum, N-hex xor check digits over everything before them, in hexadecimal
//	STX ETX              those control characters (as well as SP for one space)
//	CR LF TAB            the terminator, at the end only; CR LF for both
//
// It returns a *[FieldError] for the field layout that says which column is wrong.
func parseLayout(s string) (*fixedLayout, error) {
	toks, err := layoutTokens(s)
	if err != nil {
		return nil, err
	}
	l := &fixedLayout{}
	for len(toks) > 0 {
		var used int
		if used, err = l.column(toks); err != nil {
			return nil, err
		}
		toks = toks[used:]
	}
	return l, l.check()
}

func layoutTokens(s string) ([]string, error) {
	var toks []string
	for rest := strings.TrimLeft(s, " "); rest != ""; rest = strings.TrimLeft(rest, " ") {
		if rest[0] == '\'' {
			k := strings.IndexByte(rest[1:], '\'')
			if k < 1 {
				return nil, fieldErr("layout", "the quote before %q is not closed or empty", rest[1:])
			}
			toks = append(toks, rest[:k+2])
			rest = rest[k+2:]
			continue
		}
		k := strings.IndexAny(rest, " ")
		if k < 0 {
			k = len(rest)
		}
		toks = append(toks, rest[:k])
		rest = rest[k:]
	}
	if len(toks) == 0 {
		return nil, fieldErr("layout", "is empty; describe the frame column by column")
	}
	return toks, nil
}

func (l *fixedLayout) add(c column) {
	l.columns = append(l.columns, c)
	l.length += c.width
}

// column reads one column from the front of toks and returns how many tokens it took.
func (l *fixedLayout) column(toks []string) (int, error) {
	t := toks[0]
	if l.end != "" && (l.end != "\r" || t != "LF") {
		return 0, fieldErr("layout", "%q stands after the terminator", t)
	}
	switch {
	case t[0] == '\'':
		if !printable(t) {
			return 0, fieldErr("layout", "%q holds characters outside printable ASCII", t)
		}
		l.add(column{kind: literalColumn, width: len(t) - 2, text: t[1 : len(t)-1]})
		return 1, nil
	case strings.Trim(t, "C") == "":
		l.add(column{kind: channelColumn, width: len(t)})
		return 1, nil
	}
	switch t {
	case "sign":
		l.add(column{kind: signColumn, width: 1})
		return 1, nil
	case "SP":
		l.add(column{kind: literalColumn, width: 1, text: " "})
		return 1, nil
	case "STX":
		l.add(column{kind: literalColumn, width: 1, text: "\x02"})
		return 1, nil
	case "ETX":
		l.add(column{kind: literalColumn, width: 1, text: "\x03"})
		return 1, nil
	case "CR":
		l.end = "\r"
		return 1, nil
	case "LF":
		l.end += "\n"
		return 1, nil
	case "TAB":
		l.end = "\t"
		return 1, nil
	}
	return l.sized(toks)
}

// sized reads "N-char number", "N-char number with M decimals", "N-hex sum", "N spaces" and so on.
func (l *fixedLayout) sized(toks []string) (int, error) {
	how, per, _ := strings.Cut(toks[0], "-")
	n, err := strconv.Atoi(how)
	if err != nil || n < 1 || n > 64 || len(toks) < 2 {
		return 0, fieldErr("layout", "%q is no column; give 'text', CC, sign, N-char number, N-char unit, N-char status, N spaces, "+
			"N-hex sum, STX, ETX, CR, LF or TAB", toks[0])
	}
	what := toks[1]
	switch {
	case (per == "char" || per == "digit") && what == "number":
		c := column{kind: numberColumn, width: n, frac: -1}
		if len(toks) >= 5 && toks[2] == "with" && (toks[4] == "decimals" || toks[4] == "decimal") {
			if c.frac, err = strconv.Atoi(toks[3]); err != nil || c.frac < 0 || c.frac >= n {
				return 0, fieldErr("layout", "%q decimals do not fit a number of %d digits", toks[3], n)
			}
			l.add(c)
			return 5, nil
		}
		l.add(c)
	case per == "char" && what == "unit":
		l.add(column{kind: unitColumn, width: n})
	case per == "char" && what == "status":
		l.add(column{kind: statusColumn, width: n})
	case per == "char" && what == "channel":
		l.add(column{kind: channelColumn, width: n})
	case per == "" && (what == "spaces" || what == "space"):
		l.add(column{kind: fillColumn, width: n})
	case per == "hex" && (what == "sum" || what == "xor"):
		if n != 2 {
			return 0, fieldErr("layout", "a %s has 2 hexadecimal digits, not %d", what, n)
		}
		l.add(column{kind: checkColumn, width: n, text: what})
	default:
		return 0, fieldErr("layout", "\"%s %s\" is no column", toks[0], what)
	}
	return 2, nil
}

func (l *fixedLayout) check() error {
	count := map[columnKind]int{}
	for _, c := range l.columns {
		count[c.kind]++
	}
	switch {
	case count[numberColumn] != 1:
		return fieldErr("layout", "holds %d numbers; a frame carries one", count[numberColumn])
	case count[signColumn] > 1 || count[channelColumn] > 1 || count[unitColumn] > 1 || count[checkColumn] > 1 || count[statusColumn] > 1:
		return fieldErr("layout", "sign, channel, unit, status and check digits may stand once each")
	case l.end == "" && (l.columns[0].kind != literalColumn):
		return fieldErr("layout", "has neither a terminator nor a literal at the start, so that a lost byte could never be noticed")
	case l.length > 4096:
		return fieldErr("layout", "is %d bytes long; the limit is 4096", l.length)
	}
	return nil
}

// compileLayout checks the layout of a format of the fixed family.
func compileLayout(f Format) (*fixedLayout, error) {
	l, err := parseLayout(f.Layout)
	if err != nil {
		return nil, err
	}
	if f.Length != 0 && f.Length != l.length && f.Length != l.length+len(l.end) {
		return nil, fieldErr("length", "%d does not agree with the layout, which has %d bytes and a terminator of %d", f.Length, l.length,
			len(l.end))
	}
	hasStatus := slices.ContainsFunc(l.columns, func(c column) bool { return c.kind == statusColumn })
	if hasStatus && len(f.StatusMap) == 0 {
		return nil, fieldErr("status_map", "is empty although the layout has a status column")
	}
	return l, nil
}
