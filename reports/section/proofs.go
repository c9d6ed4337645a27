package section

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// Proofs is the uncertainty budget of each characteristic on target, by parts, with what it leaves of the
// tolerance; nothing where no gauge is bound.
func Proofs(proofs []qc.Proof) []typeset.Section {
	if len(proofs) == 0 {
		return nil
	}
	t := table(col("Characteristic"), col("Gauge"))
	var parts []string // that any of them has, in the order of the budget
	for _, h := range []struct{ part, head string }{
		{qc.PartLimit, "Allowed error"}, {qc.PartResolution, "Resolution"}, {qc.PartRepeat, "Repeat"}, {qc.PartBand, "Friction"},
		{qc.PartTemperature, "Temperature"}, {qc.PartFace, "Face"},
	} {
		for _, p := range proofs {
			if partOf(p, h.part) > 0 {
				parts, t.Columns = append(parts, h.part), append(t.Columns, num(h.head, "mm"))
				break
			}
		}
	}
	t.Columns = append(t.Columns, num("u", "mm"), col("k"), num("U", "mm"), num("Guard", "mm"))
	for _, p := range proofs {
		r := row(words.Capital(p.Label()), draw.Shorten(p.Gauge.Name, 24))
		for _, part := range parts {
			r.Cells = append(r.Cells, cells(milli(partOf(p, part)))...)
		}
		guard := "—"
		if p.Guard > 0 {
			guard = words.AtLeast(p.Guard, thousandth)
		}
		n := len(r.Cells)
		r.Cells = append(r.Cells, cells(milli(p.Budget.Combined()), coverage(p), words.AtLeast(p.Expanded, thousandth), guard)...)
		r.Cells[n].Bold = true
		r.Note, r.Strong = p.Zone()+" "+p.Sentence(), p.Guard >= p.Char.HalfWidth()
		if p.Cosine != nil {
			r.Note += " " + p.CosineText()
		}
		r.Note = words.Minus(r.Note)
		t.Rows = append(t.Rows, r)
	}
	return []typeset.Section{{Key: "proofs", Title: "What the gauges can prove", Blocks: []typeset.Block{
		text("Standard uncertainties of a measurement on target, by parts, with the best gauge on record for it. U = k u at 95 %; " +
			"where a part rests on a study, " +
			"k is Student's t on the effective degrees of freedom in brackets (Welch-Satterthwaite, JCGM 100 G.4.1). Guard is what the " +
			"decision rule takes off each limit."),
		{Table: t}, figure(picture.Budget(proofs[0]))}}}
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

func coverage(p qc.Proof) string {
	k := words.Decimals(p.Coverage, 2)
	if math.IsInf(p.DOF, 1) {
		return k
	}
	return fmt.Sprintf("%s (%.0f)", k, math.Floor(p.DOF))
}

// milli prints nanometres as millimetres to a micrometre, none as a dash.
func milli(nm float64) string {
	if nm <= 0 {
		return "—"
	}
	return words.Decimals(nm/1e6, 3)
}
