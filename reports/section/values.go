package section

import (
	"cmp"
	"fmt"
	"slices"

	"springline/qc"
	"springline/reports/typeset"
)

// Values says how the values came about and lists what was voided, with reasons.
func Values(b qc.Judged) typeset.Section {
	c := b.Counts
	s := typeset.Section{Key: "values", Title: "How the values came about", Blocks: []typeset.Block{{Facts: []typeset.Fact{
		fact("Values that count", fmt.Sprint(c.Measured)),
		fact("Taken again", fmt.Sprint(c.Again)),
		fact("Voided", fmt.Sprint(c.Voided)),
		fact("Typed by hand", fmt.Sprint(c.Typed)),
		fact("Held for a person", fmt.Sprint(c.Held)),
		fact("Held, thrown out", fmt.Sprint(c.Discarded)),
		fact("Refused frames", fmt.Sprint(c.Refused)),
		fact("Skipped", fmt.Sprint(c.Skipped)),
	}}}}
	add := func(said string, t *typeset.Table) {
		if len(t.Rows) > 0 {
			s.Blocks = append(s.Blocks, text(said), typeset.Block{Table: t})
		}
	}
	voided := valueTable(b, "Reason", func(m qc.Measurement) (string, bool) { return m.VoidReason, m.Voided })
	add("Voided values stay on record. They do not count.", voided)
	add("Values that count although they disagree with their repeats. They widen the uncertainty.",
		valueTable(b, "Cause", func(m qc.Measurement) (string, bool) { return m.Cause, m.Cause != "" && m.Counts() }))
	add("Skipped characteristics are still open: a rib cannot pass without them.", skipped(b))
	return s
}

// valueTable lists the values that are chosen, each with why, in the order recorded.
func valueTable(b qc.Judged, why string, choose func(qc.Measurement) (string, bool)) *typeset.Table {
	t := table(num("Record", ""), col("Rib"), col("Characteristic"), col("Value as received"), col("When"), col(why))
	var chosen []qc.Measurement
	for _, r := range b.InOrder {
		for _, m := range r.Measurements {
			if _, ok := choose(m); ok {
				m.Rib = r.ID
				chosen = append(chosen, m)
			}
		}
	}
	slices.SortStableFunc(chosen, func(a, b qc.Measurement) int { return cmp.Compare(a.Seq, b.Seq) })
	for _, m := range chosen {
		reason, _ := choose(m)
		t.Rows = append(t.Rows, row(fmt.Sprint(m.Seq), m.Rib, label(b, m.Char), received(m), stamp(m.At), given(reason)))
	}
	return t
}

func skipped(b qc.Judged) *typeset.Table {
	t := table(num("Record", ""), col("Rib"), col("Characteristic"), col("Reason"))
	for _, r := range b.InOrder {
		for _, sk := range r.Skips {
			if sk.Round == r.Round && r.SkippedNow(sk.Char) {
				t.Rows = append(t.Rows, row(fmt.Sprint(sk.Seq), r.ID, label(b, sk.Char), given(sk.Reason)))
			}
		}
	}
	return t
}
