package reports

import (
	"fmt"

	"springline/qc"
	"springline/qc/bend"
	"springline/reports/draw"
)

// spring shows how far each bar sprang back, as its spring constant beside those of its lot and jig.
func spring(w work) (Section, bool) {
	d, ok := SpringDrawing(w.b, textWidth)
	if !ok {
		return Section{}, false
	}
	blocks := []Block{
		{Text: "The spring constant fy/(E d) is learned from each rib as it came off the jig, beside the mean of the ribs bent before and after it on one set-up from one lot. " +
			"It tells how far the bar springs back and is not its yield stress. Lines: what bars of one lot scatter by, twice the standard deviation."},
		{Figure: &d},
	}
	return Section{Key: "spring", Title: "Spring constant in bend order", Blocks: blocks}, true
}

// SpringDrawing charts the spring constant of every rib as a percentage above or below the mean of its run
// of one lot on one jig set-up; ok is false while fewer than three ribs tell.
func SpringDrawing(b qc.Batch, width float64) (d draw.Drawing, ok bool) {
	bends := b.Bends()
	tests := make([]bend.Test, len(bends))
	for i, x := range bends {
		tests[i] = x.Test
	}
	cs, err := b.Target.BendOrder().Constants(tests)
	known := 0
	for _, c := range cs {
		if c.Known {
			known++
		}
	}
	if err != nil || known < 3 {
		return draw.Drawing{}, false
	}
	limit := 200 * cs[0].Scatter
	ch := draw.Chart{W: width, H: 56, Unit: "%", XName: "rib", Lower: -limit, Upper: limit,
		LowerText: fmt.Sprintf("−%.1f %%", limit), UpperText: fmt.Sprintf("+%.1f %%", limit)}
	for i, c := range cs {
		p := draw.ChartPoint{X: shortName(bends[i].Rib, 6), Group: shortName(bends[i].Lot+" "+bends[i].Jig, 18), Mark: draw.MarkOpen}
		if c.Known {
			p.Y, p.Half, p.Mark = 100*(c.Value/c.Mean-1), 200*c.U/c.Mean, draw.MarkIn
		}
		ch.Points = append(ch.Points, p)
	}
	ch.Title = "Spring constant: bars scatter by " + fmt.Sprintf("%.1f %%", 100*cs[0].Scatter)
	if s, ok := bend.LastShift(cs); ok {
		ch.Title = fmt.Sprintf("Spring constant moved by %+.1f %% since rib %s", 100*(s.By-1), shortName(bends[s.From].Rib, 12))
		for i := s.From; i < len(ch.Points); i++ {
			if ch.Points[i].Mark == draw.MarkIn {
				ch.Points[i].Mark = draw.MarkOut
			}
		}
	}
	return ch.Drawing(), true
}
