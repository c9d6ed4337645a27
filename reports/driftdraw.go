package reports

import (
	"fmt"

	"springline/qc"
	"springline/reports/draw"
)

// DriftDrawing draws one characteristic in bend order as the ribs came off the jig, with its control limits and
// what was found. It fails for a characteristic that the round has not.
func DriftDrawing(b qc.Batch, char qc.CharID) (draw.Drawing, error) {
	if _, ok := b.Target.Characteristic(char); !ok {
		return draw.Drawing{}, fmt.Errorf("draw the drift of %q in batch %q: the round has no such characteristic", char, b.ID)
	}
	d := qc.NewDrift(b.Target, b.Bent(), char)
	return driftDrawing(d, max(105, 34+3.2*float64(d.Count()))), nil
}

// driftDrawing draws on a width in mm.
func driftDrawing(d qc.Drift, width float64) draw.Drawing {
	c := draw.OrderChart{
		W: width, H: 62, Unit: "mm", XName: "No.", Lower: d.Char.Lower.MM(), Upper: d.Char.Upper.MM(),
		LowerText: "limit " + exactSigned(d.Char.Lower), UpperText: "limit " + exactSigned(d.Char.Upper),
		Title: capital(d.Char.Label()) + ": " + driftTitle(d),
	}
	for _, s := range d.Stretches {
		c.Runs = append(c.Runs, orderRun(s))
	}
	out := c.Drawing()
	out.Desc = fmt.Sprintf("%d ribs in bend order; dots joined within one jig set-up and lot; solid diamonds are beyond the control limits", d.Count())
	return out
}

// driftTitle is the finding in a few words.
func driftTitle(d qc.Drift) string {
	s := d.Now()
	switch {
	case s == nil:
		return "not measured"
	case s.Kind == qc.Shifted:
		return fmt.Sprintf("%s mm since rib %s", number1(s.By), s.Points[s.Since].ID)
	case s.Kind == qc.Creeps:
		return fmt.Sprintf("creeping, %s mm so far", number1(s.By))
	case s.Kind == qc.LoneValue:
		return fmt.Sprintf("rib %s stands alone", s.Points[s.Since].ID)
	case !s.Limits:
		return fmt.Sprintf("%s since the last set-up or lot, too few to tell", plural(len(s.Points), "rib", "ribs"))
	}
	return "no change"
}

func orderRun(s qc.Stretch) draw.OrderRun {
	r := draw.OrderRun{Name: shortName("jig "+s.Jig+" · lot "+s.Lot, 40), Limits: s.Limits, Provisional: s.Provisional,
		Mean: s.Chart.Mean, Lower: s.Chart.Lower, Upper: s.Chart.Upper}
	beyond := map[int]bool{}
	for _, i := range s.Chart.Signals {
		beyond[i-1] = true
	}
	for i, p := range s.Points {
		r.Points = append(r.Points, draw.OrderPoint{X: fmt.Sprint(p.Order), Y: p.MM, Beyond: beyond[i]})
	}
	last := len(s.Points) - 1
	switch s.Kind {
	case qc.Shifted:
		r.Means = []draw.OrderMean{
			{From: 0, To: s.Since - 1, FromY: s.Before, ToY: s.Before, Text: "mean " + number1(s.Before), Above: s.By < 0},
			{From: s.Since, To: last, FromY: s.After, ToY: s.After, Text: "since rib " + s.Points[s.Since].ID + ": " + number1(s.After), AtEnd: true, Above: s.By > 0}}
	case qc.Creeps:
		r.Means = []draw.OrderMean{{From: 0, To: last, FromY: s.Before, ToY: s.After, Text: number1(s.PerRib) + " a rib", AtEnd: true, Above: s.By > 0}}
	}
	return r
}

// number1 prints millimetres with one decimal, a sign and a true minus.
func number1(mm float64) string {
	if s := fmt.Sprintf("%+.1f", mm); s != "+0.0" && s != "-0.0" {
		return minus(s)
	}
	return "0.0"
}

// BudgetDrawing draws the parts of the doubt about one characteristic, as measured on a rib where it was.
func BudgetDrawing(b qc.Batch, char qc.CharID, rib string) (draw.Drawing, error) {
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

// budgetBars are the parts of the doubt as bars of standard uncertainty.
func budgetBars(p qc.Proof) draw.Bars {
	var d draw.Bars
	mm := func(nm float64) string { return qc.Digits2(nm/1e6) + " mm" }
	for _, s := range p.Budget.Shares() {
		d.Bars = append(d.Bars, draw.Bar{Name: s.Name, Value: s.U / 1e6, Text: mm(s.U)})
	}
	d.Bars = append(d.Bars, draw.Bar{Name: "all together, u", Value: p.Budget.Combined() / 1e6, Text: mm(p.Budget.Combined()), Fill: draw.Paper})
	if p.Cosine != nil {
		d.Bars = append(d.Bars, draw.Bar{Name: fmt.Sprintf("laid %s mm off: too long", exact(p.Cosine.Offset)), Value: p.Cosine.Long.MM(),
			Text: "+" + qc.Digits2(p.Cosine.Long.MM()) + " mm", Fill: draw.Stripes, Arrow: true})
	}
	return d
}
