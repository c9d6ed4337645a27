package session

import (
	"slices"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// fixed is length.Text in millimetres for the steps of decimal places, without big numbers: the view
// is built after every reading.
func fixed(l, step length.Length) string {
	places := 0
	for p := step; p < length.Millimetre; p *= 10 {
		places++
	}
	power := length.Length(1)
	for range places {
		power *= 10
	}
	if step <= 0 || step*power != length.Millimetre || l > length.Limit || l < -length.Limit {
		return l.Text(length.MM, step)
	}
	n, rest := l/step, l%step
	if rest < 0 {
		rest = -rest
	}
	if 2*rest > step || 2*rest == step && n%2 != 0 { // ties to even
		if l < 0 {
			n--
		} else {
			n++
		}
	}
	digits := strconv.AppendInt(make([]byte, 0, 24), int64(max(n, -n)), 10)
	for len(digits) <= places {
		digits = append([]byte{'0'}, digits...)
	}
	if places > 0 {
		digits = slices.Insert(digits, len(digits)-places, '.')
	}
	if n < 0 {
		return "-" + string(digits)
	}
	return string(digits)
}

// mmText is a length for a sentence: exact millimetres up to a micrometre, with the unit.
func mmText(l length.Length) string {
	return l.Round(length.Micrometre, length.TieAway).String() + " mm"
}

// stepOf is the step that values read with a gauge are shown in: its resolution as a decimal place.
func stepOf(g qc.Gauge) length.Length {
	if u, ok := length.UnitNamed(g.Unit); ok && (u == length.IN || u == length.FT || u == length.THOU) {
		if g.Resolution >= 250*length.Micrometre {
			return length.Inch / 100
		}
		return length.Inch / 1000
	}
	switch {
	case g.Resolution >= 100*length.Micrometre:
		return 100 * length.Micrometre
	case g.Resolution >= 10*length.Micrometre:
		return 10 * length.Micrometre
	default:
		return length.Micrometre
	}
}

// in is a length in the unit of a gauge, with the unit.
func in(l length.Length, g qc.Gauge) string {
	u, ok := length.UnitNamed(g.Unit)
	if !ok {
		return mmText(l)
	}
	if u == length.MM {
		return fixed(l, stepOf(g)) + " mm"
	}
	return l.Text(u, stepOf(g)) + " " + u.String()
}

// tenth is a deviation in millimetres to a tenth, with its sign.
func tenth(l length.Length) string { return signed(l, 100*length.Micrometre) }

// signed is a length in millimetres with a plus sign where it is above zero after rounding.
func signed(l, step length.Length) string {
	s := fixed(l, step)
	if l > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// limits is a tolerance in words: -6 to +6 mm.
func limits(c qc.Characteristic) string {
	plus := ""
	if c.Upper > 0 {
		plus = "+"
	}
	return c.Lower.String() + " to " + plus + c.Upper.String() + " mm"
}

// sign is proud, shy or nothing.
func sign(dev length.Length) string {
	switch {
	case dev > 0:
		return "proud"
	case dev < 0:
		return "shy"
	}
	return ""
}

// short is the label where room is scarce.
func short(c qc.Characteristic) string {
	switch c.Kind {
	case qc.StationOffset:
		return string(c.ID)
	case qc.TipToTip:
		return "tips"
	case qc.CrownHeight:
		return "crown"
	default:
		return c.Label()
	}
}

// ruleText is the decision rule in words.
func ruleText(d qc.Decision) string {
	if d.Rule == qc.Plain {
		return "plain"
	}
	return "proven at " + percent(d.Confidence)
}

// percent is a fraction as a percentage without idle zeros.
func percent(p float64) string {
	v, err := length.FromMM(p * 100)
	if err != nil {
		return "?"
	}
	return v.Round(length.Micrometre, length.TieEven).String() + " %"
}
