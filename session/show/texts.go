package show

import (
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

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
		return words.MM(l)
	}
	return words.In(l, u, stepOf(g))
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
	return "proven at " + words.Percent(d.Confidence)
}
