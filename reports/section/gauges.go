package section

import (
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/typeset"
)

// Gauges lists what was measured with and whether its check is in date, and the temperatures read.
func Gauges(b qc.Judged) typeset.Section {
	s := gauges(b.Batch)
	if len(b.Gauges) == 0 {
		return s
	}
	overdue := 0
	for _, g := range b.Gauges {
		if g.Calibration(b.AsOf) != qc.CheckInDate {
			overdue++
		}
	}
	note := "The state is that of " + stamp(b.AsOf) + "."
	if overdue > 0 {
		note += " " + words.Count(overdue, "gauge is", "gauges are") +
			" not in date; the uncertainties below hold only if a check finds the gauge within its allowed error."
	}
	s.Blocks = append(append(s.Blocks, text(note)), temperatures(b)...)
	return s
}

// gauges is the list alone.
func gauges(b qc.Batch) typeset.Section {
	s := typeset.Section{Key: "gauges", Title: "Gauges and their checks"}
	if len(b.Gauges) == 0 {
		s.Blocks = []typeset.Block{text("No gauge is named in this batch.")}
		return s
	}
	t := table(col("Gauge"), col("Kind"), num("Reads to", "mm"), typeset.Column{Head: "Error allowed", Unit: "± mm"},
		col("Used for"), col("Last check"), col("Next due"), col("State"))
	step := whole
	for _, g := range b.Gauges {
		step = min(step, qc.ExactStep(g.Resolution))
	}
	for _, g := range b.Gauges {
		state := g.Calibration(b.AsOf)
		r := row(or(g.Name, g.ID), gaugeKind(g), words.Fixed(g.Resolution, step), allowed(b.Target, g), list(g.Measures),
			or(day(g.Checked), "—"), or(day(g.Due), "not set"), state.Label())
		if r.Cells[0].Text != g.ID {
			r.Cells[0].Second = g.ID
		}
		r.Strong, r.Note = state != qc.CheckInDate, draw.Shorten(g.Note(), mostReason)
		r.Cells[7].Bold = r.Strong
		t.Rows = append(t.Rows, r)
	}
	s.Blocks = []typeset.Block{{Table: t}}
	return s
}

func gaugeKind(g qc.Gauge) string {
	s := string(g.Kind)
	if g.Kind == qc.Tape {
		s += " class " + string(g.Class)
		if g.EndFace {
			s += ", from its end"
		}
	}
	return s
}

// allowed is the error the gauge may have over the lengths it is used for in this batch.
func allowed(t qc.Target, g qc.Gauge) string {
	var seen []string
	for _, c := range t.Round {
		if !g.Covers(c.Kind) {
			continue
		}
		e := bare(g.PermissibleError(c.Nominal))
		if g.Kind == qc.Tape && c.Nominal > 0 {
			e += " at " + words.Fixed(c.Nominal, whole)
		}
		if !strings.Contains(strings.Join(seen, "; "), e) {
			seen = append(seen, e)
		}
	}
	return or(strings.Join(seen, "; "), bare(g.PermissibleError(0)))
}
