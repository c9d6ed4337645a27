package wire

import (
	"fmt"
	"strings"
)

// impliedCandidates explains frames that carry the digits of the shown values without a decimal mark:
// columns of fixed width in which the last digits are decimals.
func impliedCandidates(base Format, looks []look) (out []Candidate) {
	first := looks[0]
	for _, l := range looks {
		if l.value.places != first.value.places || l.value.places == 0 || len(l.frame) != len(first.frame) {
			return nil
		}
	}
	for from := 0; from < len(first.frame); from++ {
		if !isDigit(first.frame[from]) || from > 0 && isDigit(first.frame[from-1]) {
			continue
		}
		to := from
		for to < len(first.frame) && isDigit(first.frame[to]) {
			to++
		}
		if c, ok := impliedAt(base, looks, from, to); ok {
			out = append(out, c)
		}
	}
	return out
}

func impliedAt(base Format, looks []look, from, to int) (Candidate, bool) {
	signed, negative := from > 0, 0
	for _, l := range looks {
		digits := l.frame[from:to]
		if strings.Trim(digits, "0123456789") != "" || strings.TrimLeft(digits, "0") != l.value.digits || to-from <= l.value.places {
			return Candidate{}, false
		}
		sign := byte(0)
		if from > 0 {
			sign = l.frame[from-1]
		}
		signed = signed && strings.IndexByte("+- ", sign) >= 0
		if l.value.neg {
			negative++
			if sign != '-' {
				return Candidate{}, false
			}
		}
	}
	c := Candidate{Format: DefaultFormat(Fixed)}
	f := &c.Format
	f.Name, f.Note, f.OpenGapMS, f.OpenSettleMS, f.IdleFlushMS, f.DupWindowMS = base.Name, base.Note, base.OpenGapMS, base.OpenSettleMS,
		base.IdleFlushMS, base.DupWindowMS
	if base.Family != Line {
		c.open("frames without decimal mark can only be learned as lines that somebody sends")
	}
	before, after := looks[0].frame[:from], looks[0].frame[to:]
	var cols []string
	if signed {
		before = before[:from-1]
	}
	cols = append(cols, literals(before)...)
	if signed {
		cols = append(cols, "sign")
	}
	if negative == 0 {
		c.open("no negative value was sent; the place of its sign is not sure")
	}
	cols = append(cols, fmt.Sprintf("%d-digit number with %d decimals", to-from, looks[0].value.places))
	f.Unit = "none"
	u, n := unitAt(knownUnits(), []byte(strings.TrimLeft(after, " ")))
	switch {
	case n > 0 && (looks[0].unit == "" || looks[0].unit == u):
		f.Unit = "required:" + u
		width := len(after) - len(strings.TrimLeft(after, " ")) + n
		cols = append(cols, fmt.Sprintf("%d-char unit", width))
		after = after[width:]
	case looks[0].unit != "":
		f.Unit = "fixed:" + looks[0].unit
	default:
		c.open("the gauge sends no unit; set unit to fixed:mm or fixed:in")
	}
	cols = append(cols, literals(after)...)
	for _, e := range looks[0].end {
		cols = append(cols, map[rune]string{'\r': "CR", '\n': "LF", '\t': "TAB"}[e])
	}
	f.Layout = strings.Join(cols, " ")
	f.Length = len(looks[0].frame)
	c.open("the gauge sends no decimal mark; the last %d digits are taken as decimals", looks[0].value.places)
	return c, true
}

// literals writes fixed text as layout columns.
func literals(s string) (cols []string) {
	for s != "" {
		if n := len(s) - len(strings.TrimLeft(s, " ")); n > 0 {
			cols = append(cols, fmt.Sprintf("%d spaces", n))
			s = s[n:]
			continue
		}
		k := strings.IndexAny(s, " '")
		if k < 0 {
			k = len(s)
		}
		if k == 0 { // a quote cannot be written in a layout
			return append(cols, "'")
		}
		cols = append(cols, "'"+s[:k]+"'")
		s = s[k:]
	}
	return cols
}
