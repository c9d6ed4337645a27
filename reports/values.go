package reports

import (
	"fmt"
	"sort"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

func mismatch(p qc.PairOf) string { return plain(length.Length(p.MismatchNM), 2) }

// values says how the values came about and lists what was voided, with reasons.
func values(w work) Section {
	c := w.b.Counts
	s := Section{Key: "values", Title: "How the values came about"}
	s.Blocks = append(s.Blocks, Block{Facts: []Fact{
		{"Values that count", fmt.Sprint(c.Measured)},
		{"Taken again", fmt.Sprint(c.Again)},
		{"Voided", fmt.Sprint(c.Voided)},
		{"Typed by hand", fmt.Sprint(c.Typed)},
		{"Held for a person", fmt.Sprint(c.Held)},
		{"Held, thrown out", fmt.Sprint(c.Discarded)},
		{"Refused frames", fmt.Sprint(c.Refused)},
		{"Skipped", fmt.Sprint(c.Skipped)},
	}})
	if t := voided(w); len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, Block{Text: "Voided values stay on record. They do not count."}, Block{Table: t})
	}
	if t := disagreeing(w); len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, Block{Text: "Values that count although they disagree with their repeats. They widen the uncertainty."}, Block{Table: t})
	}
	if t := skipped(w); len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, Block{Text: "Skipped characteristics are still open: a rib cannot pass without them."}, Block{Table: t})
	}
	return s
}

type voidedValue struct {
	rib string
	m   qc.Measurement
}

func voided(w work) *Table {
	t := &Table{Columns: []Column{{Head: "Record", Align: Number}, {Head: "Rib"}, {Head: "Characteristic"}, {Head: "Value as received"}, {Head: "When"}, {Head: "Reason"}}}
	var vs []voidedValue
	for _, r := range w.bent {
		for _, m := range r.Measurements {
			if m.Voided {
				vs = append(vs, voidedValue{r.ID, m})
			}
		}
	}
	sort.SliceStable(vs, func(i, j int) bool { return vs[i].m.Seq < vs[j].m.Seq })
	for _, v := range vs {
		reason := given(v.m.VoidReason)
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(v.m.Seq)}, {Text: v.rib}, {Text: label(w, v.m.Char)},
			{Text: received(v.m)}, {Text: stamp(v.m.At)}, {Text: reason}}})
	}
	return t
}

func skipped(w work) *Table {
	t := &Table{Columns: []Column{{Head: "Record", Align: Number}, {Head: "Rib"}, {Head: "Characteristic"}, {Head: "Reason"}}}
	for _, r := range w.bent {
		for _, sk := range r.Skips {
			if sk.Round != r.Round || !r.SkippedNow(sk.Char) {
				continue
			}
			reason := given(sk.Reason)
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(sk.Seq)}, {Text: r.ID}, {Text: label(w, sk.Char)}, {Text: reason}}})
		}
	}
	return t
}

// mostReason is how much of a reason a report carries; the record holds all of it. A cell of this
// length still fits a page.
const mostReason = 400

func given(reason string) string {
	if reason == "" {
		return "none given"
	}
	return shortName(reason, mostReason)
}

func label(w work, id qc.CharID) string {
	if c, ok := w.b.Target.Characteristic(id); ok {
		return c.Label()
	}
	return string(id)
}

// received is the value as typed or sent, with its unit unless the text already ends in it.
func received(m qc.Measurement) string {
	text := strings.TrimSpace(m.Text)
	if text == "" {
		return exact(m.Value) + " mm"
	}
	if m.Unit == "" || strings.HasSuffix(text, m.Unit) {
		return text
	}
	if strings.ContainsAny(text, `'"`) {
		return text
	}
	return text + " " + m.Unit
}
