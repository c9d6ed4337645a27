package length

import (
	"math/big"
	"strings"
	"unicode/utf8"
)

// maxEntry is the longest entry read, in characters after trimming.
const maxEntry = 40

// Options describe the field that was typed into. The zero value is an unsigned millimetre field.
type Options struct {
	DefaultUnit Unit        // of a bare number; no unit means millimetres
	Decimal     DecimalSign // see DecimalAuto
	Signed      bool        // whether a minus is allowed
}

// Entry is a typed length that was understood. Keep the raw text beside it.
type Entry struct {
	Length Length // to the nanometre, ties to even
	MM     string // exact millimetres in decimal text: 1/128" is 0.1984375
	Typed  string // what was understood, in one spelling: 6' 11 3/4"
}

// String is the line shown back before the entry counts: 6' 11 3/4" = 2127.25 mm.
func (e Entry) String() string {
	if strings.HasSuffix(e.Typed, " mm") {
		return e.Typed
	}
	return e.Typed + " = " + e.MM + " mm"
}

// Parse reads a typed length; see [Read]. Errors are *ParseError.
func Parse(text string, o Options) (Length, error) {
	e, err := Read(text, o)
	return e.Length, err
}

// Read reads a typed length: a number with a unit, feet and inches, or inches with a binary fraction
// down to 1/128. It never guesses: where two readings are likely it refuses with a *ParseError that
// says which. |length| is at most 100 m.
func Read(text string, o Options) (Entry, error) {
	e, err := read(text, o)
	if err != nil {
		err.Text = text
		return Entry{}, err
	}
	return e, nil
}

func read(text string, o Options) (Entry, *ParseError) {
	t := strings.TrimFunc(text, func(r rune) bool { return isSpace(r) || r == '\r' || r == '\n' })
	if t == "" {
		return Entry{}, refusal(Empty, "nothing is there; write a length such as 1850 mm")
	}
	if utf8.RuneCountInString(t) > maxEntry {
		return Entry{}, refusal(OutOfRange, "it has more than %d characters; write one length", maxEntry)
	}
	toks, err := lex(t)
	if err != nil {
		return Entry{}, err
	}
	if o.DefaultUnit.Size() == 0 {
		o.DefaultUnit = MM
	}
	p := parser{toks: toks, o: o}
	negative, err := p.sign()
	if err != nil {
		return Entry{}, err
	}
	nm, typed, err := p.entry()
	if err != nil {
		return Entry{}, err
	}
	if nm.Cmp(big.NewRat(int64(Limit), 1)) > 0 {
		return Entry{}, refusal(OutOfRange, "it is beyond 100 m; check the unit and the decimal sign")
	}
	if negative && nm.Sign() != 0 {
		nm.Neg(nm)
		typed = "-" + typed
	}
	return Entry{
		Length: Length(roundQuotient(nm, TieEven).Int64()),
		MM:     exactText(new(big.Rat).Quo(nm, big.NewRat(int64(Millimetre), 1))),
		Typed:  typed,
	}, nil
}

// exactText prints a fraction whose denominator has no prime factors but 2 and 5.
func exactText(r *big.Rat) string {
	places, _ := r.FloatPrec()
	return r.FloatString(places)
}

type parser struct {
	toks []token
	i    int
	o    Options
}

func (p *parser) peek() token         { return p.toks[p.i] }
func (p *parser) at(k tokenKind) bool { return p.toks[p.i].kind == k }
func (p *parser) ahead(n int) tokenKind {
	if p.i+n < len(p.toks) {
		return p.toks[p.i+n].kind
	}
	return tokEnd
}

func (p *parser) skip(k tokenKind) bool {
	if p.at(k) {
		p.i++
		return true
	}
	return false
}

func (p *parser) sign() (negative bool, err *ParseError) {
	switch {
	case p.at(tokHyphen), p.at(tokMinus):
		if !p.o.Signed {
			return false, refusal(NegativeNotAllowed, "a minus cannot stand in this field; write the size without a sign")
		}
		negative = true
		p.i++
	case p.at(tokPlus):
		p.i++
	}
	p.skip(tokSpace)
	return negative, nil
}

// amount is a number, a whole number with a fraction, or a fraction.
type amount struct {
	number
	fraction bool
}

// amount reads one amount and refuses a second number that follows with only a space between.
func (p *parser) amount() (amount, *ParseError) {
	var whole number
	if p.at(tokNumber) && p.ahead(1) != tokSlash {
		n, err := readNumber(p.peek().text, p.o.Decimal)
		if err != nil {
			return amount{}, err
		}
		whole = n
		p.i++
		if !p.joined() {
			if p.at(tokSpace) && p.ahead(1) == tokNumber {
				return amount{}, refusal(AmbiguousSpace, "the space may part thousands or two numbers; write one number without a space, or "+
					"mark feet and inches")
			}
			return amount{number: whole}, nil
		}
	}
	num, den, err := p.fraction()
	if err != nil {
		return amount{}, err
	}
	a := amount{fraction: true}
	a.value, err = properFraction(num, den)
	if err != nil {
		return amount{}, err
	}
	a.text = num + "/" + den
	if whole.value != nil {
		if !whole.plain {
			return amount{}, refusal(BadNumber, "a decimal number and a fraction stand together; write one of them")
		}
		a.value.Add(a.value, whole.value)
		a.text = whole.text + " " + a.text
	}
	return a, nil
}

// joined skips what joins a whole number to its fraction: a space, a hyphen, or nothing before ¾.
func (p *parser) joined() bool {
	switch {
	case p.at(tokVulgar):
		return true
	case (p.at(tokSpace) || p.at(tokHyphen)) &&
		(p.ahead(1) == tokVulgar || p.ahead(1) == tokNumber && p.ahead(2) == tokSlash):
		p.i++
		return true
	}
	return false
}

func (p *parser) fraction() (num, den string, err *ParseError) {
	if p.at(tokVulgar) {
		t := p.peek()
		p.i++
		return t.num, t.den, nil
	}
	if p.at(tokNumber) && p.ahead(1) == tokSlash && p.ahead(2) == tokNumber {
		num, den = p.peek().text, p.toks[p.i+2].text
		if onlyDigits(num) && onlyDigits(den) {
			p.i += 3
			return num, den, nil
		}
	}
	return "", "", refusal(BadNumber, "it is not a number such as 12.5 or 11 3/4\"")
}

func properFraction(num, den string) (*big.Rat, *ParseError) {
	switch den {
	case "2", "4", "8", "16", "32", "64", "128":
	default:
		return nil, refusal(BadDenominator, "inches are divided by 2, 4, 8, 16, 32, 64 or 128, not by %s", den)
	}
	r := new(big.Rat).Quo(decimalDigits(num), decimalDigits(den))
	if r.Cmp(big.NewRat(1, 1)) >= 0 {
		return nil, refusal(ImproperFraction, "%s/%s is one or more; write the whole inches, a space and the fraction", num, den)
	}
	return r, nil
}
