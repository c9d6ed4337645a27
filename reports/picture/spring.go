package picture

import (
	"fmt"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/words"
	"springline/reports/draw"
)

// Spring charts the spring constant of every rib as a percentage above or below the mean of its run
// of one lot on one jig set-up; ok is false while fewer than three ribs tell.
func Spring(b qc.Batch, width float64) (d draw.Drawing, ok bool) {
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
		p := draw.ChartPoint{X: draw.Shorten(bends[i].Rib, 6), Group: draw.Shorten(bends[i].Lot+" "+bends[i].Jig, 18), Mark: draw.MarkOpen}
		if c.Known {
			p.Y, p.Half, p.Mark = 100*(c.Value/c.Mean-1), 200*c.U/c.Mean, draw.MarkIn
		}
		ch.Points = append(ch.Points, p)
	}
	ch.Title = "Spring constant: bars scatter by " + fmt.Sprintf("%.1f %%", 100*cs[0].Scatter)
	if s, ok := bend.LastShift(cs); ok {
		ch.Title = fmt.Sprintf("Spring constant moved by %s %% since rib %s",
			words.SignedDecimals(100*(s.By-1), 1), draw.Shorten(bends[s.From].Rib, 12))
		for i := s.From; i < len(ch.Points); i++ {
			if ch.Points[i].Mark == draw.MarkIn {
				ch.Points[i].Mark = draw.MarkOut
			}
		}
	}
	return ch.Drawing(), true
}
