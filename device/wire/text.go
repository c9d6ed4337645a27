package wire

import (
	"bytes"
	"cmp"
	"slices"
	"strings"
)

// textSpec is a [Format] of a text family, compiled.
type textSpec struct {
	prefix   string
	channel  channelRule
	sign     string
	decimal  byte // '.', ',' or 0 for either
	form     numberForm
	unit     unitRule
	units    []unitWord
	status   string
	statuses []statusWord
	checksum string
	length   int // 0 = any
	decimals int // -1 = any

	plainUnit string // see plain; empty where no frame of the format is plain
}

type statusWord struct {
	text, means string
}

// parsed is the outcome of reading one frame: either code is set, or num says where in the frame (or
// in digits, if a frame has no text) the value stands.
type parsed struct {
	num     numberAt
	digits  []byte
	channel span
	unit    string
	named   bool // the unit stood in the frame
	flags   []string
	accept  Accept
	code    string
	detail  string
}

func (p *parsed) fail(code, detail string) {
	p.code, p.detail = code, detail
}

func compileText(f Format) (textSpec, error) {
	s := textSpec{prefix: f.Prefix, sign: f.Sign, status: f.Status, checksum: f.Checksum, length: f.Length, decimals: f.Decimals,
		units: unitWords(f.UnitMap)}
	switch f.Decimal {
	case "point":
		s.decimal = '.'
	case "comma":
		s.decimal = ','
	}
	s.form = map[string]numberForm{"plain": plainNumber, "nr1": nr1, "nr2": nr2, "nr3": nr3, "nrf": nrf}[f.Number]
	var err error
	if s.channel, err = parseChannel(f.Channel); err != nil {
		return s, err
	}
	if s.unit, err = parseUnitRule(f.Unit); err != nil {
		return s, err
	}
	s.statuses = statusWords(f.StatusMap)
	s.plainUnit = s.plainUnitOf()
	return s, nil
}

func statusWords(m map[string]string) []statusWord {
	var ws []statusWord
	for w, means := range m {
		ws = append(ws, statusWord{w, means})
	}
	slices.SortFunc(ws, func(a, b statusWord) int {
		return cmp.Or(cmp.Compare(len(b.text), len(a.text)), cmp.Compare(a.text, b.text))
	})
	return ws
}

func skipSpace(b []byte, i int) int {
	for i < len(b) && (b[i] == ' ' || b[i] == '\t') {
		i++
	}
	return i
}

// parse reads one frame without its terminator. Every byte of it must be accounted for.
func (s *textSpec) parse(b []byte, p *parsed) {
	if s.plainUnit != "" && s.plain(b, p) {
		return
	}
	*p = parsed{accept: Auto}
	if s.length > 0 && len(b) != s.length {
		if len(b) < s.length {
			p.fail(CodePartialFrame, "format-short")
		} else {
			p.fail(CodeBadFrame, "format-long")
		}
		return
	}
	if s.checksum != "none" {
		if b = s.checked(b, p); p.code != "" {
			return
		}
	}
	i := skipSpace(b, 0)
	if s.prefix != "" {
		if len(b)-i < len(s.prefix) || string(b[i:i+len(s.prefix)]) != s.prefix {
			p.fail(CodeBadFrame, "prefix-missing")
			return
		}
		i = skipSpace(b, i+len(s.prefix))
	}
	if s.channel.chars > 0 || s.channel.until != "" {
		if i = s.channelAt(b, i, p); p.code != "" {
			return
		}
		i = skipSpace(b, i)
	}
	if s.status == "prefix" {
		i = skipSpace(b, s.statusAt(b, i, p))
		if p.code != "" {
			return
		}
	}
	if i = s.numberAt(b, i, p); p.code != "" {
		return
	}
	s.unitAndStatus(b, skipSpace(b, i), p)
}

// valueOf gives the value of b if it is a frame of the format.
func (s *textSpec) valueOf(b []byte) (string, bool) {
	var p parsed
	if s.parse(b, &p); p.code != "" {
		return "", false
	}
	var text strings.Builder
	p.num.write(&text, b)
	return text.String(), true
}

// checked verifies the check digits and returns the frame before them.
func (s *textSpec) checked(b []byte, p *parsed) []byte {
	b = bytes.TrimRight(b, " \t")
	k := bytes.LastIndexByte(b, '*')
	if k < 0 || len(b)-k != 3 {
		p.fail(CodeBadChecksum, "check-missing")
		return nil
	}
	var got byte
	for _, c := range b[k+1:] {
		h := hexDigit(c)
		if h > 15 {
			p.fail(CodeBadChecksum, "check-unreadable")
			return nil
		}
		got = got<<4 | h
	}
	if want := checksum(s.checksum, b[:k]); got != want {
		p.fail(CodeBadChecksum, "check-differs")
		return nil
	}
	return b[:k]
}

func hexDigit(c byte) byte {
	switch {
	case isDigit(c):
		return c - '0'
	case c >= 'A' && c <= 'F':
		return c - 'A' + 10
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10
	}
	return 255
}

func checksum(kind string, b []byte) (sum byte) {
	for _, c := range b {
		if kind == "xor" {
			sum ^= c
		} else {
			sum += c
		}
	}
	return sum
}

func (s *textSpec) channelAt(b []byte, i int, p *parsed) int {
	if n := s.channel.chars; n > 0 {
		if len(b)-i < n {
			p.fail(CodeBadFrame, "channel-short")
			return i
		}
		p.channel = span{i, i + n}
		return i + n
	}
	k := bytes.Index(b[i:], []byte(s.channel.until))
	if k <= 0 {
		p.fail(CodeBadFrame, "channel-missing")
		return i
	}
	p.channel = span{i, i + k}
	return i + k + len(s.channel.until)
}

// statusAt reads status words as long as there are any.
func (s *textSpec) statusAt(b []byte, i int, p *parsed) int {
next:
	for i < len(b) {
		for _, w := range s.statuses {
			if len(b)-i >= len(w.text) && string(b[i:i+len(w.text)]) == w.text {
				p.means(w.means)
				i = skipSpace(b, i+len(w.text))
				continue next
			}
		}
		break
	}
	return i
}

// means applies one status. Only what is known to leave the value good lets it count by itself.
func (p *parsed) means(word string) {
	switch word {
	case "ok", "good", "normal", "stable":
		return
	case "over_range", "under_range":
		p.fail(CodeOverRange, "gauge-cannot")
		return
	case "error", "fault":
		p.fail(CodeGaugeFault, "gauge-fault")
		return
	case FlagLowBattery:
	default:
		p.accept = Confirm
	}
	if !slices.Contains(p.flags, word) {
		p.flags = append(p.flags, word)
	}
}

// numberAt reads sign and number at b[i:] into p and returns where they end.
func (s *textSpec) numberAt(b []byte, i int, p *parsed) int {
	n := &p.num
	j := i
	if s.sign != "behind" && j < len(b) && (b[j] == '-' || b[j] == '+') {
		n.neg, n.signed = b[j] == '-', true
		j = skipSpace(b, j+1)
	}
	if !scanNumber(b, j, n) {
		p.fail(notANumber(b[i:]))
		if s.status == "prefix" && p.code == CodeBadNumber && i < len(b) && isLetter(b[i]) {
			p.fail(CodeUnknownStatus, "status-unexplained")
		}
		return i
	}
	if n.overflowed {
		p.fail(CodeOverRange, "number-out-of-range")
		return i
	}
	end := n.end
	if s.sign == "behind" {
		if k := skipSpace(b, end); k < len(b) && (b[k] == '-' || b[k] == '+') {
			n.neg, n.signed = b[k] == '-', true
			end = k + 1
		}
	}
	switch {
	case n.signed && s.sign == "none":
		p.fail(CodeBadNumber, "sign-unexpected")
	case !n.signed && s.sign == "required":
		p.fail(CodeBadNumber, "sign-missing")
	default:
		if why := n.checkForm(s.form, s.decimal); why != "" {
			p.fail(CodeBadNumber, why)
			return i
		}
		if n.tooManyDigits(b) {
			p.fail(CodeBadNumber, "digits-too-many")
		}
	}
	return end
}

// unitAndStatus reads what follows the number; nothing may be left over.
func (s *textSpec) unitAndStatus(b []byte, i int, p *parsed) {
	if i < len(b) {
		if c := b[i]; isDigit(c) || c == '.' || c == ',' || c == '+' || c == '-' {
			p.fail(CodeBadNumber, "number-goes-on")
			return
		}
		if u, n := unitAt(s.units, b[i:]); n > 0 {
			p.unit, p.named = u, true
			i = skipSpace(b, i+n)
		}
	}
	if s.status == "suffix" {
		if i = s.statusAt(b, i, p); p.code != "" {
			return
		}
	}
	if i < len(b) {
		switch {
		case s.status == "suffix":
			p.fail(CodeUnknownStatus, "status-unexplained")
		case p.unit == "":
			p.fail(CodeUnitUnknown, "unit-unknown")
		default:
			p.fail(CodeBadFrame, "unit-goes-on")
		}
		return
	}
	if p.unit == "" {
		if s.unit.required {
			p.fail(CodeUnitMissing, "unit-missing")
			return
		}
		p.unit = s.unit.assumed
	}
	s.checkDecimals(p)
}

// checkDecimals refuses a number whose resolution is not the one that the gauge has in its bound unit;
// in another unit it has another one.
func (s *textSpec) checkDecimals(p *parsed) {
	if s.decimals < 0 || s.unit.bound != "" && p.unit != s.unit.bound {
		return
	}
	if n := p.num.frac.to - p.num.frac.from - p.num.exp; max(n, 0) != s.decimals {
		p.fail(CodeBadNumber, "decimals-count")
	}
}
