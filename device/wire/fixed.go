package wire

import (
	"bytes"
	"time"
)

// fixedFrames is the fixed family: text in columns. With a terminator every frame must have exactly
// the length of the layout; a frame that was cut is refused and the next header starts a new one.
type fixedFrames struct {
	lines  *lines // when a terminator ends the frame
	raw    *packets
	layout *fixedLayout
	spec   textSpec
	head   []byte
}

func newFixed(d *Decoder) (family, error) {
	layout, err := compileLayout(d.format)
	if err != nil {
		return nil, err
	}
	spec, err := compileText(d.format)
	if err != nil {
		return nil, err
	}
	f := &fixedFrames{layout: layout, spec: spec}
	if c := layout.columns[0]; c.kind == literalColumn {
		f.head = []byte(c.text)
	}
	if layout.end == "" {
		f.raw = newPackets(d, f.head, layout.length, f.packet)
		return f.raw, nil
	}
	f.lines = newLines(d, f.line)
	f.lines.crlf = false
	for c := range f.lines.class {
		if f.lines.class[c] == endByte {
			f.lines.class[c] = noiseByte
		}
	}
	for _, c := range []byte(layout.end) {
		f.lines.class[c] = endByte
	}
	for _, c := range layout.columns {
		if c.kind == literalColumn && (c.text == "\x02" || c.text == "\x03") {
			f.lines.class[c.text[0]] = textByte
		}
	}
	f.lines.maxLen = max(f.lines.maxLen, layout.length)
	return f, nil
}

func (f *fixedFrames) feed(at time.Duration, b []byte)  { f.lines.feed(at, b) }
func (f *fixedFrames) next() (time.Duration, bool)      { return f.lines.next() }
func (f *fixedFrames) tick(at time.Duration)            { f.lines.tick(at) }
func (f *fixedFrames) packet(fr frame) (code, d string) { return f.reading(fr, f.raw.d) }

// line judges what stood between two terminators.
func (f *fixedFrames) line(fr frame) {
	d := f.lines.d
	if extra := len(fr.raw) - f.layout.length; extra > 0 && len(f.head) > 0 && bytes.HasPrefix(fr.raw[extra:], f.head) {
		// A frame that lost its end, then a whole one.
		d.fail(CodePartialFrame, fr.raw[:extra], "frame-cut")
		fr.raw = fr.raw[extra:]
		if fr.off >= 0 {
			fr.off += extra
		}
	}
	if code, detail := f.reading(fr, d); code != "" {
		d.fail(code, fr.raw, detail)
	}
}

func (f *fixedFrames) reading(fr frame, d *Decoder) (code, detail string) {
	switch n := len(fr.raw); {
	case n < f.layout.length:
		return CodePartialFrame, "layout-short"
	case n > f.layout.length:
		return CodeBadFrame, "layout-long"
	}
	var p parsed
	if f.columns(fr.raw, &p); p.code != "" {
		return p.code, p.detail
	}
	s := d.sampleOf(fr, &p)
	d.once(s)
	d.emit(s)
	return "", ""
}

// columns reads a frame of the right length.
func (f *fixedFrames) columns(b []byte, p *parsed) {
	*p = parsed{accept: Auto}
	var sign byte
	var number column
	at, numAt := 0, 0
	for _, c := range f.layout.columns {
		part := b[at : at+c.width]
		switch c.kind {
		case literalColumn:
			if string(part) != c.text {
				p.fail(CodeBadFrame, "layout-character")
			}
		case fillColumn:
			if len(bytes.TrimLeft(part, " ")) > 0 {
				p.fail(CodeBadFrame, "layout-space")
			}
		case channelColumn:
			p.channel = span{at, at + c.width}
		case signColumn:
			sign = part[0]
		case numberColumn:
			number, numAt = c, at
		case unitColumn:
			f.unitColumn(part, p)
		case statusColumn:
			if i := f.spec.statusAt(part, skipSpace(part, 0), p); p.code == "" && i < len(part) {
				p.fail(CodeUnknownStatus, "status-unexplained")
			}
		case checkColumn:
			if got := hexDigit(part[0])<<4 | hexDigit(part[1]); hexDigit(part[0]) > 15 || hexDigit(part[1]) > 15 || got != checksum(c.text, b[:at]) {
				p.fail(CodeBadChecksum, "check-differs")
				return
			}
		}
		at += c.width
	}
	if p.code == "" {
		f.number(b, span{numAt, numAt + number.width}, number.frac, sign, p)
	}
	if p.code == "" && p.unit == "" {
		if f.spec.unit.required {
			p.fail(CodeUnitMissing, "unit-missing")
			return
		}
		p.unit = f.spec.unit.assumed
	}
	if p.code == "" {
		f.spec.checkDecimals(p)
	}
}

func (f *fixedFrames) unitColumn(part []byte, p *parsed) {
	part = bytes.Trim(part, " ")
	if len(part) == 0 {
		return
	}
	u, n := unitAt(f.spec.units, part)
	if n != len(part) {
		p.fail(CodeUnitUnknown, "unit-unknown")
	}
	p.unit, p.named = u, true
}

// number reads the number column. It must be filled: blanks may only stand in front.
func (f *fixedFrames) number(b []byte, s span, implied int, sign byte, p *parsed) {
	part := b[s.from:s.to]
	i := s.from + skipSpace(part, 0)
	n := &p.num
	switch sign {
	case '-', '+':
		n.neg, n.signed = sign == '-', true
	case ' ', 0:
		if i < s.to && sign == 0 && (b[i] == '-' || b[i] == '+') {
			n.neg, n.signed = b[i] == '-', true
			i++
		}
	default:
		if code, detail := notANumber(append([]byte{sign}, part...)); code == CodeOverRange {
			p.fail(code, detail)
		} else {
			p.fail(CodeBadNumber, "sign-unreadable")
		}
		return
	}
	switch {
	case n.signed && f.spec.sign == "none":
		p.fail(CodeBadNumber, "sign-unexpected")
		return
	case !scanNumber(b[:s.to], i, n):
		p.fail(notANumber(part))
		return
	case n.overflowed:
		p.fail(CodeOverRange, "number-out-of-range")
		return
	case !n.signed && f.spec.sign == "required":
		p.fail(CodeBadNumber, "sign-missing")
		return
	case n.end != s.to:
		p.fail(CodeBadNumber, "number-short")
		return
	}
	if implied >= 0 {
		if n.mark != 0 || n.whole.to-n.whole.from <= implied {
			p.fail(CodeBadNumber, "decimals-implied")
			return
		}
		cut := n.whole.to - implied
		n.frac = span{cut, n.whole.to}
		n.whole.to = cut
	}
	if why := n.checkForm(f.spec.form, f.spec.decimal); why != "" {
		p.fail(CodeBadNumber, why)
		return
	}
	if n.tooManyDigits(b) {
		p.fail(CodeBadNumber, "digits-too-many")
	}
}
