package reports

import (
	"fmt"
	"strings"

	"springline/qc"
)

// pairs lists the confirmed pairs, the spare ribs and how many good ribs have no partner.
func pairs(w work) Section {
	b := w.b
	s := Section{Key: "pairs", Title: "Pairs and spare"}
	t := &Table{Blank: w.o.Blank, Columns: []Column{{Head: "Pair", Align: Number}, {Head: "Left rib"}, {Head: "Right rib"}, {Head: "Right rib is set"},
		{Head: "Mismatch", Unit: "mm", Align: Number}}}
	alike := confirmedAlike(b.Pairs)
	if !alike {
		t.Columns = append(t.Columns, Column{Head: "Confirmed by"}, Column{Head: "Confirmed"})
	}
	if w.o.Blank {
		for i := range max(1, b.Planned/2) {
			row := Row{Cells: make([]Cell, len(t.Columns))}
			row.Cells[0].Text = fmt.Sprint(i + 1)
			t.Rows = append(t.Rows, row)
		}
		s.Blocks = append(s.Blocks, Block{Table: t}, Block{Facts: []Fact{{"Spare", ""}}})
		return s
	}
	paired := map[string]bool{}
	for i, p := range b.Pairs {
		paired[p.A], paired[p.B] = true, true
		set := "as bent"
		if p.Flip {
			set = "turned end for end"
		}
		row := Row{Cells: []Cell{{Text: fmt.Sprint(i + 1)}, {Text: p.A, Bold: true}, {Text: p.B, Bold: true}, {Text: set}, {Text: mismatch(p)}}}
		if !alike {
			row.Cells = append(row.Cells, Cell{Text: said(p.ConfirmedBy)}, Cell{Text: stamp(p.At)})
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, Block{Table: t})
		s.Blocks = append(s.Blocks, Block{Text: "Mismatch is the cost by which the pairing was chosen: the smaller, the more alike the two ribs stand. " +
			"Turned end for end means that leg B (no paint band) stands where the left rib has leg A."})
	} else {
		s.Blocks = append(s.Blocks, Block{Text: "No pairs have been confirmed."})
	}
	spare := "none"
	if len(b.Spares) > 0 {
		spare = strings.Join(b.Spares, ", ")
	}
	facts := []Fact{{"Spare", spare}}
	if alike && len(b.Pairs) > 0 {
		facts = append(facts, Fact{"Pairs confirmed", strings.TrimSpace("by " + said(b.Pairs[0].ConfirmedBy) + ", " + stamp(b.Pairs[0].At))})
	}
	var alone []string
	for _, r := range w.bent {
		if r.v.Word == qc.Pass && !paired[r.ID] && !contains(b.Spares, r.ID) {
			alone = append(alone, r.ID)
		}
	}
	if len(alone) > 0 {
		facts = append(facts, Fact{"Passed, not paired", strings.Join(alone, ", ")})
	}
	var changed []string
	for _, r := range w.bent {
		if paired[r.ID] && r.v.Word != qc.Pass {
			changed = append(changed, fmt.Sprintf("%s (%s)", r.ID, r.v.Word))
		}
	}
	if len(changed) > 0 {
		facts = append(facts, Fact{"Paired, no longer good", strings.Join(changed, ", ")})
	}
	s.Blocks = append(s.Blocks, Block{Facts: facts})
	return s
}

// confirmedAlike reports whether one person confirmed all pairs at one time, which is then said once.
func confirmedAlike(ps []qc.PairOf) bool {
	for _, p := range ps {
		if p.ConfirmedBy != ps[0].ConfirmedBy || !p.At.Equal(ps[0].At) {
			return false
		}
	}
	return true
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
