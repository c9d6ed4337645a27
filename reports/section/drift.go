package section

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// driftMethod says how the sentence comes about and how often it is wrong.
const driftMethod = "First rounds only: what came off the jig, whatever was done to the rib afterwards. Everything starts afresh " +
	"at each jig set-up and each lot. " +
	"Each rib is scored against the mean and spread of those before it; the scores go into a moving average (weight 0.2, limit " +
	"2.962) and cumulative sums " +
	"(slack 0.5, decision 5), and a change is said only where a step or a steady creep through the stretch bears the signal out. " +
	"On a jig that holds still that happens less than 0.6 times in 100 ribs (simulated). " +
	"Nothing is said below 8 ribs, and limits are provisional below 20."

// Drift draws tips and crown as the ribs came off the jig, with what was found and the table behind the
// drawings; nothing where neither is measured.
func Drift(f qc.Findings) []typeset.Section {
	var drifts []qc.Drift
	for _, d := range f.Drifts {
		if d.Count() > 0 {
			drifts = append(drifts, d)
		}
	}
	if len(drifts) == 0 {
		return nil
	}
	finding := words.English.Say(f.Quiet)
	if f.Moved != nil {
		finding = words.English.Say(f.Moved.Said) + " (" + words.English.Say(f.Moved.Basis) + ".)"
	}
	s := typeset.Section{Key: "jig", Title: "The jig in bend order", Blocks: []typeset.Block{text(words.Minus(finding))}}
	var past []string
	for _, d := range drifts {
		past = append(past, d.Past()...)
	}
	if len(past) > 0 {
		s.Blocks = append(s.Blocks, text("Before the last set-up or lot:"), typeset.Block{List: past})
	}
	for _, d := range drifts {
		s.Blocks = append(s.Blocks, figure(picture.Drift(d, typeset.Width)))
		if d.Now().Limits {
			var facts []typeset.Fact
			for _, l := range d.Lines() {
				facts = append(facts, typeset.Fact{Name: words.Capital(l.Name), Value: words.Minus(l.Value)})
			}
			s.Blocks = append(s.Blocks, typeset.Block{Facts: facts})
		}
	}
	s.Blocks = append(s.Blocks, typeset.Block{Table: driftTable(drifts)}, text(driftMethod))
	return []typeset.Section{s}
}

// driftTable holds the numbers behind the drawings, one line for each rib.
func driftTable(drifts []qc.Drift) *typeset.Table {
	const own, each = 4, 5 // columns of the rib and of each characteristic
	t := table(num("No.", ""), col("Rib"), col("Jig"), col("Lot"))
	t.Caption = "The numbers behind the drawings; averages and sums are in standard deviations of the ribs before"
	at := map[string]int{}
	for k, d := range drifts {
		t.Columns = append(t.Columns, num(shortLabel(d.Char), "mm"), num("To the last", "mm"),
			num("Average", ""), num("Sum up", ""), num("Sum down", ""))
		for _, st := range d.Stretches {
			for i, p := range st.Points {
				n, ok := at[p.ID]
				if !ok {
					n, at[p.ID] = len(t.Rows), len(t.Rows)
					r := row(fmt.Sprint(p.Order), p.ID, p.Jig, p.Lot)
					for range each * len(drifts) {
						r.Cells = append(r.Cells, typeset.Cell{Text: "—"})
					}
					t.Rows = append(t.Rows, r)
				}
				jump := "—"
				if i > 0 {
					jump = words.Decimals(p.Range, 2)
				}
				copy(t.Rows[n].Cells[own+each*k:], cells(words.Signed(p.Dev, hundredth), jump, two(p.Average),
					words.Decimals(p.SumUp, 2), words.Decimals(p.SumDown, 2)))
			}
		}
	}
	return t
}
