package section

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/typeset"
)

// Target is what was wanted, within what limits, with what doubt and what is left of the limits.
func Target(b qc.Judged) typeset.Section {
	proven := "Proven within"
	if b.Decision.Rule == qc.Plain {
		proven = "Accepted"
	}
	return target(b.Target, []typeset.Column{{Head: "U (k = 2)", Unit: "mm"}, {Head: proven, Unit: "mm"}},
		func(c qc.Characteristic) []string { return doubt(b, c) })
}

// target lists the characteristics with further columns.
func target(t qc.Target, columns []typeset.Column, more func(qc.Characteristic) []string) typeset.Section {
	bar := words.Exact(t.Bar.Diameter) + " round"
	if t.Bar.Grade != "" {
		bar += ", " + t.Bar.Grade
	}
	facts := []typeset.Fact{
		fact("Bar", bar),
		fact("Cut length", words.Exact(t.BarLength())),
		fact("Leg, each", words.Exact(t.Leg)),
		fact("Arc", words.Exact(t.Arc)+" along the centreline"),
		fact("Radius", words.Exact(t.Radius)+" to the centreline, after release"),
		fact("Face measured", string(t.Face)+" of the bar, for tip-to-tip and crown height"),
		fact("Stations", stations(t)),
	}
	if width, clear, err := t.AboveGround(); t.Buried > 0 && err == nil {
		facts = append(facts, fact("Buried tips", fmt.Sprintf("%s deep; above the ground %.0f mm clear under the crown, "+
			"%.0f mm wide at the ground between bar centres", words.Exact(t.Buried), math.Floor(clear), width)))
	}
	tab := table(append([]typeset.Column{col("Characteristic"), col("Face"), num("Wanted", "mm"),
		num("Lower limit", "mm"), num("Upper limit", "mm"), num("Readings", "")}, columns...)...)
	nominal, limit := whole, whole
	for _, c := range t.Round {
		nominal = min(nominal, qc.ExactStep(c.Nominal))
		limit = min(limit, qc.ExactStep(c.Lower), qc.ExactStep(c.Upper))
	}
	var before []string
	for i, c := range t.Round {
		face := ""
		if c.Kind == qc.TipToTip || c.Kind == qc.CrownHeight {
			face = string(c.Face)
		}
		rest := append([]string{face, words.Fixed(c.Nominal, nominal), words.Signed(c.Lower, limit), words.Signed(c.Upper, limit),
			fmt.Sprint(c.Repeats)}, more(c)...)
		if n := len(tab.Rows) - 1; i > 0 && c.Kind == qc.StationOffset && slices.Equal(rest, before) {
			tab.Rows[n].Cells[0].Text += ", " + string(c.ID) // one line serves both
			continue
		}
		tab.Rows, before = append(tab.Rows, row(append([]string{c.Label()}, rest...)...)), rest
	}
	return typeset.Section{Key: "target", Title: "Target and tolerances", Blocks: []typeset.Block{{Facts: facts},
		text("A deviation is measured less wanted: above zero is longer, or outside the target curve; below zero is shorter, or inside it. " +
			"Limits are deviations and are inclusive: a value on its limit is within it."), {Table: tab}}}
}

func stations(t qc.Target) string {
	var out []string
	for _, s := range t.Stations {
		if strings.HasPrefix(string(s.ID), "A") {
			out = append(out, fmt.Sprintf("%s %s", s.ID, words.Fixed(s.FromCrown, whole)))
		}
	}
	if len(t.Stations) == 0 {
		return "none"
	}
	return strings.Join(out, ", ") + " mm from the crown along the centreline; B mirrored"
}

// doubt gives the expanded uncertainties met and the zone within which a deviation counts as proven,
// for the least certain measurement of the characteristic.
func doubt(b qc.Judged, c qc.Characteristic) []string {
	js := b.Measured(c.ID)
	if len(js) == 0 {
		return []string{"—", "—"}
	}
	step := b.Step(c.ID)
	lo, hi, guard := js[0].U, js[0].U, length.Length(0)
	for _, j := range js {
		lo, hi, guard = min(lo, j.U), max(hi, j.U), max(guard, j.Guard)
	}
	u := words.AtLeast(2*lo, step)
	if v := words.AtLeast(2*hi, step); v != u {
		u += " to " + v
	}
	lower, upper := c.Lower+guard, c.Upper-guard
	if lower > upper {
		return []string{u, "nowhere"}
	}
	return []string{u, words.Signed(lower/step*step, step) + " to " + words.Signed(upper/step*step, step)} // both towards zero
}
