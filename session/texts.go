package session

import (
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// hyphen sets the hyphen that numbers of the view have had for a minus.
func hyphen(s string) string { return strings.ReplaceAll(s, "\u2212", "-") }

// fixed is [words.Fixed] with a hyphen.
func fixed(l, step length.Length) string { return hyphen(words.Fixed(l, step)) }

// mmText is a length for a sentence: exact millimetres up to a micrometre, with the unit.
func mmText(l length.Length) string { return hyphen(words.MM(l)) }

// tenth is a deviation in millimetres to a tenth, with its sign.
func tenth(l length.Length) string { return hyphen(words.Tenth(l)) }

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
	return hyphen(words.In(l, u, stepOf(g)))
}

// limits is a tolerance in words: -6 to +6 mm.
func limits(c qc.Characteristic) string { return hyphen(words.Limits(c.Lower, c.Upper)) }

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
	return "proven at " + words.Percent(d.Confidence)
}
