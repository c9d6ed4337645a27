package length

import "math/big"

// entry reads everything after the sign: nanometres as an exact fraction, and the one spelling.
func (p *parser) entry() (*big.Rat, string, *ParseError) {
	a, err := p.amount()
	if err != nil {
		return nil, "", err
	}
	p.skip(tokSpace)
	switch t := p.peek(); t.kind {
	case tokFoot:
		p.i++
		return p.feet(a)
	case tokInch:
		p.i++
		if err := p.end(IN); err != nil {
			return nil, "", err
		}
		return a.in(IN), a.text + `"`, nil
	case tokUnit:
		p.i++
		if err := p.end(t.unit); err != nil {
			return nil, "", err
		}
		if a.fraction {
			return nil, "", needsInch()
		}
		return a.in(t.unit), a.text + " " + t.unit.String(), nil
	case tokWord:
		return nil, "", unknownUnit(t.text)
	case tokEnd:
		return p.bare(a)
	}
	return nil, "", refusal(BadNumber, "something follows the number; write one length such as 1850 mm")
}

// bare gives a number without a unit the field's unit, but never feet: 6 may be feet or inches there.
func (p *parser) bare(a amount) (*big.Rat, string, *ParseError) {
	u := p.o.DefaultUnit
	switch {
	case a.fraction && u != IN:
		return nil, "", needsInch()
	case u == FT:
		return nil, "", refusal(AmbiguousUnit, "a bare number may be feet or inches here; write the marks, such as 6' 11\"")
	case u == IN:
		return a.in(IN), a.text + `"`, nil
	}
	return a.in(u), a.text + " " + u.String(), nil
}

// feet reads what follows a foot mark: nothing, or inches after an optional joining hyphen.
func (p *parser) feet(ft amount) (*big.Rat, string, *ParseError) {
	if ft.fraction {
		return nil, "", needsInch()
	}
	typed := ft.text + "'"
	apart := p.skip(tokSpace)
	if p.at(tokEnd) {
		return ft.in(FT), typed, nil
	}
	if p.skip(tokHyphen) {
		apart = true
		p.skip(tokSpace)
	}
	switch p.peek().kind {
	case tokFoot, tokInch:
		return nil, "", refusal(BadNumber, "two marks follow one number; write feet and inches such as 6' 11\"")
	case tokUnit, tokWord:
		return nil, "", p.end(FT)
	}
	first := p.peek()
	in, err := p.amount()
	if err != nil {
		return nil, "", err
	}
	p.skip(tokSpace)
	if p.at(tokFoot) || p.at(tokUnit) || p.at(tokWord) {
		return nil, "", p.end(FT)
	}
	p.skip(tokInch)
	if err := p.end(IN); err != nil {
		return nil, "", err
	}
	if !ft.plain {
		return nil, "", refusal(FractionalFeetWithInches, "feet with decimals and inches stand together; write whole feet and inches")
	}
	// Three digits right after the mark are thousands as grouped in Switzerland, 1'011 too.
	if swiss := !apart && first.kind == tokNumber && len(first.text) >= 3 && onlyDigits(first.text[:3]); swiss ||
		in.value.Cmp(big.NewRat(12, 1)) >= 0 {
		return nil, "", refusal(InchesOutOfRange, "the inches after %s are not below 12; write feet and inches such as 6' 11\", or the "+
			"number without the mark", typed)
	}
	return new(big.Rat).Add(ft.in(FT), in.in(IN)), typed + " " + in.text + `"`, nil
}

// end refuses what follows a complete length in the unit u.
func (p *parser) end(u Unit) *ParseError {
	p.skip(tokSpace)
	if p.at(tokEnd) {
		return nil
	}
	for _, t := range p.toks[p.i:] {
		switch {
		case t.kind == tokWord:
			return unknownUnit(t.text)
		case t.kind == tokUnit && t.unit != u, t.kind == tokInch && u != IN && u != FT, t.kind == tokFoot && u != FT,
			u != IN && u != FT:
			return refusal(MixedUnits, "two units stand together; write one number with one unit")
		}
	}
	return refusal(BadNumber, "something follows the length; write one length such as 6' 11 3/4\"")
}

func needsInch() *ParseError {
	return refusal(FractionNeedsInch, "a fraction is read as inches only where inches are marked; write the inch mark, or decimals")
}

func unknownUnit(word string) *ParseError {
	if word == "mil" || word == "mils" {
		return refusal(AmbiguousUnit, "%q may be a thousandth of an inch or a millimetre; write thou or mm", word)
	}
	return refusal(AmbiguousUnit, "%q is not a unit here; write mm, cm, m, in, ft or thou", word)
}

func (a amount) in(u Unit) *big.Rat {
	return new(big.Rat).Mul(a.value, big.NewRat(int64(u.Size()), 1))
}
