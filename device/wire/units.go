package wire

import (
	"cmp"
	"slices"
	"strings"

	"springline/qc/length"
)

// unitWord is one way in which a gauge may write a unit.
type unitWord struct {
	text  string
	unit  string
	exact bool // upper and lower case differ
}

// knownUnits are the words taken without a unit_map, longest first so that mm is not read as m.
func knownUnits() []unitWord {
	return []unitWord{
		{"inch", "in", false}, {"mm", "mm", false}, {"cm", "cm", false}, {"in", "in", false}, {"ft", "ft", false},
		{"''", "in", false}, {`"`, "in", false}, {"'", "ft", false}, {"m", "m", false},
	}
}

func unitWords(own map[string]string) []unitWord {
	if len(own) == 0 {
		return knownUnits()
	}
	var ws []unitWord
	for w, u := range own {
		ws = append(ws, unitWord{w, unitByName(u), true})
	}
	slices.SortFunc(ws, func(a, b unitWord) int {
		return cmp.Or(cmp.Compare(len(b.text), len(a.text)), cmp.Compare(a.text, b.text))
	})
	return ws
}

// unitByName returns the unit that a format file means, or "".
func unitByName(s string) string {
	switch s = strings.ToLower(s); s {
	case "inch":
		return length.IN.String()
	case "foot":
		return length.FT.String()
	}
	if u, ok := length.UnitNamed(s); ok && u != length.THOU {
		return u.String()
	}
	return ""
}

// unitAt returns the unit that b starts with and how many bytes its word takes.
func unitAt(words []unitWord, b []byte) (string, int) {
next:
	for i := range words {
		w := &words[i]
		if len(b) < len(w.text) {
			continue
		}
		for k := range len(w.text) {
			c := b[k]
			if !w.exact && c >= 'A' && c <= 'Z' {
				c += 'a' - 'A'
			}
			if c != w.text[k] {
				continue next
			}
		}
		return w.unit, len(w.text)
	}
	return "", 0
}

// unitRule says what a format expects of units.
type unitRule struct {
	required bool
	bound    string // the unit that counts by itself; "" = the first one seen
	assumed  string // the unit when the frame names none
}

func parseUnitRule(s string) (unitRule, error) {
	how, name, named := strings.Cut(s, ":")
	unit := unitByName(name)
	switch {
	case named && unit == "":
	case how == "required":
		return unitRule{required: true, bound: unit}, nil
	case how == "fixed" && named:
		return unitRule{bound: unit, assumed: unit}, nil
	case (how == "optional" || how == "none") && !named:
		return unitRule{}, nil
	case how == "optional":
		return unitRule{bound: unit, assumed: unit}, nil
	}
	return unitRule{}, fieldErr("unit", "%q is not known here; give required, optional, none, fixed:U or required:U with U one of "+
		"mm, cm, m, in, ft", s)
}
