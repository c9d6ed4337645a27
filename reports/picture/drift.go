package picture

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// DriftOf draws one characteristic of the batch in bend order, wide enough for all ribs. It fails for a
// characteristic that the round has not.
func DriftOf(b qc.Batch, char qc.CharID) (draw.Drawing, error) {
	if _, ok := b.Target.Characteristic(char); !ok {
		return draw.Drawing{}, fmt.Errorf("draw the drift of %q in batch %q: the round has no such characteristic", char, b.ID)
	}
	d := qc.NewDrift(b.Target, b.Bent(), char)
	return Drift(d, max(105, 34+3.2*float64(d.Count()))), nil
}

// Drift draws one characteristic in bend order as the ribs came off the jig, with its control limits and what
// was found; the width is in mm.
func Drift(d qc.Drift, width float64) draw.Drawing {
	c := draw.OrderChart{
		W: width, H: 62, Unit: "mm", XName: "No.", Lower: d.Char.Lower.MM(), Upper: d.Char.Upper.MM(),
		LowerText: limitText(d.Char.Lower), UpperText: limitText(d.Char.Upper),
		Title: words.Capital(d.Char.Label()) + ": " + driftTitle(d),
	}
	for _, s := range d.Stretches {
		c.Runs = append(c.Runs, orderRun(s))
	}
	out := c.Drawing()
	out.Desc = fmt.Sprintf("%d ribs in bend order; dots joined within one jig set-up and lot; solid diamonds are beyond the control limits",
		d.Count())
	return out
}

// driftTitle is the finding in a few words.
func driftTitle(d qc.Drift) string {
	s := d.Now()
	switch {
	case s == nil:
		return "not measured"
	case s.Kind == qc.Shifted:
		return fmt.Sprintf("%s mm since rib %s", words.SignedDecimals(s.By, 1), s.Points[s.Since].ID)
	case s.Kind == qc.Creeps:
		return fmt.Sprintf("creeping, %s mm so far", words.SignedDecimals(s.By, 1))
	case s.Kind == qc.LoneValue:
		return fmt.Sprintf("rib %s stands alone", s.Points[s.Since].ID)
	case !s.Limits:
		return words.Count(len(s.Points), "rib", "ribs") + " since the last set-up or lot, too few to tell"
	}
	return "no change"
}

func orderRun(s qc.Stretch) draw.OrderRun {
	r := draw.OrderRun{Name: draw.Shorten(words.Named("jig", s.Jig)+" · "+words.Named("lot", s.Lot), 40),
		Limits: s.Limits, Provisional: s.Provisional, Mean: s.Chart.Mean, Lower: s.Chart.Lower, Upper: s.Chart.Upper}
	beyond := map[int]bool{}
	for _, i := range s.Chart.Signals {
		beyond[i-1] = true
	}
	for i, p := range s.Points {
		r.Points = append(r.Points, draw.OrderPoint{X: fmt.Sprint(p.Order), Y: p.MM, Beyond: beyond[i]})
	}
	last := len(s.Points) - 1
	number := func(mm float64) string { return words.SignedDecimals(mm, 1) }
	switch s.Kind {
	case qc.Shifted:
		r.Means = []draw.OrderMean{
			{From: 0, To: s.Since - 1, FromY: s.Before, ToY: s.Before, Text: "mean " + number(s.Before), Above: s.By < 0},
			{From: s.Since, To: last, FromY: s.After, ToY: s.After, Text: "since rib " + s.Points[s.Since].ID + ": " + number(s.After),
				AtEnd: true, Above: s.By > 0}}
	case qc.Creeps:
		r.Means = []draw.OrderMean{{From: 0, To: last, FromY: s.Before, ToY: s.After, Text: number(s.PerRib) + " a rib",
			AtEnd: true, Above: s.By > 0}}
	}
	return r
}
