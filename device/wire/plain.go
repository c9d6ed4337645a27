package wire

// plain reads the frame that nearly every gauge sends nearly every time, in one pass: spaces, a sign, digits with
// decimals or without, spaces, mm. It gives exactly what [textSpec.parse] gives and answers false, with nothing
// done, for whatever it does not know; parse then reads the frame.
func (s *textSpec) plain(b []byte, p *parsed) bool {
	i := skipSpace(b, 0)
	neg, signed := false, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		neg, signed = b[i] == '-', true
		i = skipSpace(b, i+1)
	}
	from := i
	for i < len(b) && isDigit(b[i]) {
		i++
	}
	whole := span{from, i}
	frac, mark := span{i, i}, byte(0)
	if i < len(b) && b[i] == '.' {
		mark = '.'
		i++
		frac.from = i
		for i < len(b) && isDigit(b[i]) {
			i++
		}
		frac.to = i
		if frac.from == frac.to {
			return false
		}
	}
	if whole.from == whole.to || i-from > maxDigits {
		return false
	}
	end := i
	if i = skipSpace(b, i); len(b)-i != 2 || b[i] != 'm' || b[i+1] != 'm' {
		return false
	}
	p.num = numberAt{neg: neg, signed: signed, whole: whole, frac: frac, mark: mark, end: end}
	p.digits, p.channel, p.flags, p.code, p.detail = nil, span{}, nil, "", ""
	p.unit, p.named, p.accept = s.plainUnit, true, Auto
	return true
}

// plainUnitOf is what a plain frame's mm stands for under the format, or nothing where the format asks for
// more than a plain frame holds.
func (s *textSpec) plainUnitOf() string {
	switch {
	case s.prefix != "", s.checksum != "none", s.length != 0, s.decimals >= 0, s.status == "prefix" || s.status == "suffix",
		s.channel.chars > 0 || s.channel.until != "", s.decimal == ',', s.form != plainNumber && s.form != nrf,
		s.sign == "behind" || s.sign == "required" || s.sign == "none":
		return ""
	}
	if u, n := unitAt(s.units, []byte("mm")); n == len("mm") {
		return u
	}
	return ""
}
