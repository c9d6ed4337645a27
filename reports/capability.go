package reports

import (
	"fmt"

	"springline/qc"
)

// capabilities says how the ribs off the jig fit the tolerances, and what the rule risks on ribs like them.
func capabilities(w work) []Section {
	bent := w.b.Bent()
	var list []qc.Capability
	for _, c := range w.b.Target.Round {
		if p := qc.NewCapability(w.b.Target, bent, c.ID, w.b.Decision); p.N >= 2 {
			list = append(list, p)
		}
	}
	if len(list) == 0 {
		return nil
	}
	t := &Table{Columns: []Column{{Head: "Characteristic"}, {Head: "Ribs", Align: Number}, {Head: "Mean", Unit: "mm", Align: Number}, {Head: "Spread seen", Unit: "mm", Align: Number},
		{Head: "Of it gauge", Unit: "mm", Align: Number}, {Head: "Of it ribs", Unit: "mm", Align: Number}, {Head: "Normal?", Unit: "p", Align: Number}, {Head: "Cpk", Align: Number},
		{Head: "at least", Unit: "95 %", Align: Number}, {Head: "95 % of ribs within", Unit: "mm"}, {Head: "Out"}}}
	for _, c := range list {
		t.Rows = append(t.Rows, capabilityRow(c))
	}
	s := Section{Key: "capability", Title: "Ribs off the jig against the tolerance", Blocks: []Block{{Text: capabilityMethod}, {Table: t}}}
	var said []string
	for _, c := range list {
		if c.Char.Kind == qc.TipToTip || c.Char.Kind == qc.CrownHeight {
			said = append(said, minus(c.Sentence()), minus(c.RiskSentence()))
		}
	}
	s.Blocks = append(s.Blocks, Block{List: said})
	return []Section{s}
}

const capabilityMethod = "First rounds. Spread seen is one standard deviation; the gauge's part is what repeating a reading shows, and the ribs' own part is what is left of the variance. " +
	"p is that of Anderson-Darling: below 0.05 the spread is not taken for normal and no index is given. Cpk stands with its one-sided 95 % bound (Bissell); the interval holds " +
	"95 % of such ribs with 95 % confidence (exact factor for two limits), or, in brackets where the spread is not normal, smallest to largest seen with the share that lies between " +
	"them whatever the spread looks like. Nothing is shown below 10 ribs, and no p below 8. A jig that moved in between has no one capability: see the chapter before."

func capabilityRow(c qc.Capability) Row {
	row := Row{Cells: []Cell{{Text: capital(c.Char.Label())}, {Text: fmt.Sprint(c.N)}, {Text: two(c.Mean)}, {Text: qc.Digits2(c.SD)}}}
	gauge, own := "—", "—"
	if c.GaugeFrom != "" {
		gauge, own = qc.Digits2(c.Gauge), qc.Digits2(c.RibSD)
		if c.GaugeIsAll {
			own = "not seen"
		}
	}
	p, cpk, least, within, out := "—", "—", "—", "—", "—"
	if c.Normality != nil {
		p = fmt.Sprintf("%.3f", c.Normality.P)
		if c.Normality.P < 0.001 {
			p = "< 0.001"
		}
	}
	if c.N >= qc.CapabilityFrom {
		out = fmt.Sprintf("%d of %d", c.Out, c.N)
		within = fmt.Sprintf("(%s to %s: %.0f %%)", two(c.Smallest), two(c.Largest), 100*c.Covered-.5)
	}
	if c.Index != nil {
		cpk, least = fmt.Sprintf("%.2f", c.Index.Cpk), fmt.Sprintf("%.2f", c.Index.CpkLowOneSided)
		within = two(c.HoldLow) + " to " + two(c.HoldHigh)
	}
	for _, text := range []string{gauge, own, p} {
		row.Cells = append(row.Cells, Cell{Text: text})
	}
	row.Cells = append(row.Cells, Cell{Text: minus(cpk)}, Cell{Text: minus(least), Bold: true}, Cell{Text: within}, Cell{Text: out})
	return row
}

// two prints a number with two decimals, a sign and a true minus.
func two(v float64) string {
	if s := fmt.Sprintf("%+.2f", v); s != "+0.00" && s != "-0.00" {
		return minus(s)
	}
	return "0.00"
}
