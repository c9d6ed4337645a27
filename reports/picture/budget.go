package picture

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// BudgetOf draws the parts of the doubt about one characteristic, as measured on a rib where it was. It fails
// for a characteristic that the round has not or that no gauge is bound to.
func BudgetOf(b qc.Batch, char qc.CharID, rib string) (draw.Drawing, error) {
	c, ok := b.Target.Characteristic(char)
	if !ok {
		return draw.Drawing{}, fmt.Errorf("draw the doubt of %q in batch %q: the round has no such characteristic", char, b.ID)
	}
	p, _, err := b.Proof(c, rib)
	if err != nil {
		return draw.Drawing{}, fmt.Errorf("draw the doubt of %q in batch %q: %w", char, b.ID, err)
	}
	d := budgetBars(p)
	d.W = 62
	return d.Drawing(), nil
}

// Budget draws the parts of the doubt for a report, with its title.
func Budget(p qc.Proof) draw.Drawing {
	bars := budgetBars(p)
	bars.W, bars.Title = 120, "Doubt about "+p.Label()+" by parts (standard uncertainty)"
	d := bars.Drawing()
	d.Desc = "one bar for each part; the striped one works one way only and is not in the sum"
	return d
}

// budgetBars are the parts of the doubt as bars of standard uncertainty.
func budgetBars(p qc.Proof) draw.Bars {
	var d draw.Bars
	add := func(name string, nm float64, sign string, fill draw.Fill, arrow bool) {
		d.Bars = append(d.Bars, draw.Bar{Name: name, Value: nm / 1e6, Text: sign + words.Digits2(nm/1e6) + " mm", Fill: fill, Arrow: arrow})
	}
	for _, s := range p.Budget.Shares() {
		add(s.Name, s.U, "", draw.NoFill, false)
	}
	add("all together, u", p.Budget.Combined(), "", draw.Paper, false)
	if c := p.Cosine; c != nil {
		add(fmt.Sprintf("laid %s mm off: too long", words.Fixed(c.Offset, qc.ExactStep(c.Offset))), float64(c.Long), "+", draw.Stripes, true)
	}
	return d
}
