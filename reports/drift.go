package reports

import (
	"fmt"

	"springline/qc"
)

// drifts draws tips and crown as the ribs came off the jig, with what was found and the table behind the
// drawings.
func drifts(w work) []Section {
	bent := w.b.Bent()
	var list []qc.Drift
	for _, c := range w.b.Target.Round {
		if c.Kind == qc.TipToTip || c.Kind == qc.CrownHeight {
			if d := qc.NewDrift(w.b.Target, bent, c.ID); d.Count() > 0 {
				list = append(list, d)
			}
		}
	}
	if len(list) == 0 {
		return nil
	}
	s := Section{Key: "jig", Title: "The jig in bend order"}
	finding := qc.DriftQuiet(w.b.Target, bent)
	if f, ok := qc.FindDrift(w.b.Target, bent); ok {
		finding = f.Text + " (" + f.Note + ".)"
	}
	s.Blocks = append(s.Blocks, Block{Text: minus(finding)})
	var past []string
	for _, d := range list {
		past = append(past, d.Past()...)
	}
	if len(past) > 0 {
		s.Blocks = append(s.Blocks, Block{Text: "Before the last set-up or lot:"}, Block{List: past})
	}
	for _, d := range list {
		fig := driftDrawing(d, textWidth)
		s.Blocks = append(s.Blocks, Block{Figure: &fig})
		if d.Now().Limits {
			s.Blocks = append(s.Blocks, Block{Facts: factsOf(d.Lines())})
		}
	}
	s.Blocks = append(s.Blocks, Block{Table: driftTable(list)}, Block{Text: driftMethod})
	return []Section{s}
}

// driftMethod says how the sentence comes about and how often it is wrong.
const driftMethod = "First rounds only: what came off the jig, whatever was done to the rib afterwards. Everything starts afresh at each jig set-up and each lot. " +
	"Each rib is scored against the mean and spread of those before it; the scores go into a moving average (weight 0.2, limit 2.962) and cumulative sums (slack 0.5, decision 5), " +
	"and a change is said only where a step or a steady creep through the stretch bears the signal out. On a jig that holds still that happens less than 0.6 times in 100 ribs (simulated). " +
	"Nothing is said below 8 ribs, and limits are provisional below 20."

func factsOf(lines []qc.Line) []Fact {
	var out []Fact
	for _, l := range lines {
		out = append(out, Fact{capital(l.Name), minus(l.Value)})
	}
	return out
}

// driftTable holds the numbers behind the drawings, one line for each rib.
func driftTable(list []qc.Drift) *Table {
	t := &Table{Caption: "The numbers behind the drawings; averages and sums are in standard deviations of the ribs before",
		Columns: []Column{{Head: "No.", Align: Number}, {Head: "Rib"}, {Head: "Jig"}, {Head: "Lot"}}}
	for _, d := range list {
		name := shortLabel(d.Char)
		t.Columns = append(t.Columns, Column{Head: name, Unit: "mm", Align: Number}, Column{Head: "To the last", Unit: "mm", Align: Number},
			Column{Head: "Average", Align: Number}, Column{Head: "Sum up", Align: Number}, Column{Head: "Sum down", Align: Number})
	}
	rows := map[string]*Row{}
	var order []string
	for k, d := range list {
		for _, st := range d.Stretches {
			for i, p := range st.Points {
				row := rows[p.ID]
				if row == nil {
					row = &Row{Cells: []Cell{{Text: fmt.Sprint(p.Order)}, {Text: p.ID}, {Text: p.Jig}, {Text: p.Lot}}}
					rows[p.ID], order = row, append(order, p.ID)
				}
				for len(row.Cells) < 4+5*k {
					row.Cells = append(row.Cells, Cell{Text: "—"})
				}
				jump := "—"
				if i > 0 {
					jump = fmt.Sprintf("%.2f", p.Range)
				}
				row.Cells = append(row.Cells, Cell{Text: signed(p.Dev, 2)}, Cell{Text: jump}, Cell{Text: two(p.Average)},
					Cell{Text: fmt.Sprintf("%.2f", p.SumUp)}, Cell{Text: fmt.Sprintf("%.2f", p.SumDown)})
			}
		}
	}
	for _, id := range order {
		row := *rows[id]
		for len(row.Cells) < len(t.Columns) {
			row.Cells = append(row.Cells, Cell{Text: "—"})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
