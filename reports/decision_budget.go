package reports

import (
	"fmt"
	"math"

	"springline/qc"
)

// proofs is the uncertainty budget of each characteristic on target, by parts, with what it leaves of the
// tolerance.
func proofs(w work) []Section {
	list := w.b.Proofs()
	if len(list) == 0 {
		return nil
	}
	var parts []string // that any of them has, in the order of the budget
	for _, name := range []string{qc.PartLimit, qc.PartResolution, qc.PartRepeat, qc.PartBand, qc.PartTemperature, qc.PartFace} {
		for _, p := range list {
			if partOf(p, name) > 0 {
				parts = append(parts, name)
				break
			}
		}
	}
	t := &Table{Columns: []Column{{Head: "Characteristic"}, {Head: "Gauge"}}}
	for _, name := range parts {
		t.Columns = append(t.Columns, Column{Head: partHeads[name], Unit: "mm", Align: Number})
	}
	t.Columns = append(t.Columns, Column{Head: "u", Unit: "mm", Align: Number}, Column{Head: "k"}, Column{Head: "U", Unit: "mm", Align: Number}, Column{Head: "Guard", Unit: "mm", Align: Number})
	for _, p := range list {
		row := Row{Cells: []Cell{{Text: capital(p.Label())}, {Text: shortName(p.Gauge.Name, 24)}}, Note: proofNote(p), Strong: p.Guard >= p.Char.HalfWidth()}
		for _, name := range parts {
			text := "—"
			if u := partOf(p, name); u > 0 {
				text = milli(u)
			}
			row.Cells = append(row.Cells, Cell{Text: text})
		}
		guard := "—"
		if p.Guard > 0 {
			guard = atLeast(p.Guard, 3)
		}
		row.Cells = append(row.Cells, Cell{Text: milli(p.Budget.Combined()), Bold: true}, Cell{Text: coverage(p)}, Cell{Text: atLeast(p.Expanded, 3)}, Cell{Text: guard})
		t.Rows = append(t.Rows, row)
	}
	bars := budgetBars(list[0])
	bars.W, bars.Title = 120, "Doubt about "+list[0].Label()+" by parts (standard uncertainty)"
	d := bars.Drawing()
	d.Desc = "one bar for each part; the striped one works one way only and is not in the sum"
	return []Section{{Key: "proofs", Title: "What the gauges can prove", Blocks: []Block{
		{Text: "Standard uncertainties of a measurement on target, by parts, with the best gauge on record for it. U = k u at 95 %; where a part rests on a study, " +
			"k is Student's t on the effective degrees of freedom in brackets (Welch-Satterthwaite, JCGM 100 G.4.1). Guard is what the decision rule takes off each limit."},
		{Table: t}, {Figure: &d}}}}
}

// partHeads are short heads for the parts of a budget.
var partHeads = map[string]string{
	qc.PartLimit: "Allowed error", qc.PartResolution: "Resolution", qc.PartRepeat: "Repeat", qc.PartBand: "Friction",
	qc.PartTemperature: "Temperature", qc.PartFace: "Face",
}

// partOf is a part in nanometres, 0 where the budget has none of that name.
func partOf(p qc.Proof, name string) float64 {
	for _, q := range p.Budget.Parts() {
		if q.Name == name {
			return q.U
		}
	}
	return 0
}

func proofNote(p qc.Proof) string {
	text := p.Zone() + " " + p.Sentence()
	if p.Cosine != nil {
		text += " " + p.CosineText()
	}
	return minus(text)
}

func coverage(p qc.Proof) string {
	if math.IsInf(p.DOF, 1) {
		return fmt.Sprintf("%.2f", p.Coverage)
	}
	return fmt.Sprintf("%.2f (%.0f)", p.Coverage, math.Floor(p.DOF))
}

// milli prints nanometres as millimetres to a micrometre.
func milli(nm float64) string { return fmt.Sprintf("%.3f", nm/1e6) }
