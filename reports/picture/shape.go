package picture

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// Shape draws a rib's fitted shape over its target, what differs enlarged, with every measured place
// and its limits. Errors say why the rib cannot be drawn.
func Shape(b qc.Batch, rib string) (draw.Drawing, error) {
	r, ok := b.Rib(rib)
	if !ok {
		return draw.Drawing{}, fmt.Errorf("draw the shape of rib %q: batch %q has no such rib", rib, b.ID)
	}
	v, err := b.Judge(r)
	if err != nil {
		return draw.Drawing{}, fmt.Errorf("draw the shape of rib %q: %w", rib, err)
	}
	target := b.Target.ForBar(r.BarLength)
	s, ok := target.FitShape(v)
	if !ok {
		return draw.Drawing{}, fmt.Errorf("draw the shape of rib %q: nothing that tells of it has been measured in round %d", rib, r.Round)
	}
	p := newShapePlan(target, v, s)
	d := draw.Drawing{W: pairWidth, H: 70, Title: "Rib " + rib + " over its target"}
	d.Items = append(d.Items,
		draw.Text{At: draw.Point{Y: 4.5}, S: "Rib " + draw.Shorten(rib, 12) + " over its target", Size: 13, Bold: true},
		draw.Text{At: draw.Point{Y: 9.8}, S: fmt.Sprintf("differences drawn %d times", p.times), Size: 11},
		draw.Polyline{Points: p.target, Style: draw.Style{Stroke: .25, Dash: []float64{1.6, 1}}},
		draw.Polyline{Points: p.fitted, Style: draw.Style{Stroke: 1.1}})
	d.Items = append(d.Items, p.band()...)
	for _, m := range p.marks {
		d.Items = append(d.Items, m.items()...)
	}
	d.Items = append(d.Items,
		draw.Text{At: draw.Point{X: p.ends[0].X - 2.4, Y: p.ends[0].Y + 1}, S: "A", Size: 13, Bold: true, Anchor: draw.End},
		draw.Text{At: draw.Point{X: p.ends[1].X + 2.4, Y: p.ends[1].Y + 1}, S: "B", Size: 13, Bold: true},
		draw.Text{At: draw.Point{X: 0, Y: 68.6}, S: "thick: rib; broken: target; bars: limits", Size: 11})
	d.Desc = fmt.Sprintf("The fitted shape of rib %s over its target, differences drawn %d times. %s.",
		rib, p.times, words.Capital(s.Sentence))
	return d, nil
}

// shapePlan holds the lines in paper millimetres.
type shapePlan struct {
	times          int
	target, fitted []draw.Point
	ends           [2]draw.Point
	marks          []placeMark
}

// placeMark is a measured place with its limits: from low to high across the bar.
type placeMark struct {
	at, low, high draw.Point
	lane          qc.Lane
}

func newShapePlan(t qc.Target, v qc.Verdict, s qc.RibShape) shapePlan {
	long := s.Target.Length()
	worst := leastWorst
	const n = 120
	for i := range n + 1 {
		x := long * float64(i) / n
		px, py := s.Moved(x)
		q := s.Target.At(x)
		worst = math.Max(worst, math.Hypot(px-q.X, py-q.Y))
	}
	for _, j := range v.Chars {
		if _, ok := placeOf(t, j.Char); ok && j.Measured {
			worst = math.Max(worst, math.Max(math.Max(j.Char.Upper.MM(), -j.Char.Lower.MM()), math.Abs(j.Dev.Dev.MM())))
		}
	}
	p := shapePlan{times: enlarge(worst, 0.05*long)}
	times := float64(p.times)
	apart := func(x float64) draw.Point {
		px, py := s.Moved(x)
		q := s.Target.At(x)
		return draw.Point{X: q.X + times*(px-q.X), Y: q.Y + times*(py-q.Y)}
	}
	var want, is []draw.Point
	for i := range n + 1 {
		x := long * float64(i) / n
		q := s.Target.At(x)
		want = append(want, draw.Point{X: q.X, Y: q.Y})
		is = append(is, apart(x))
	}
	all := append(append([]draw.Point{}, want...), is...)
	off := func(x, by float64) draw.Point {
		q := s.Target.At(x)
		nx, ny := s.Target.Normal(x)
		return draw.Point{X: q.X + times*by*nx, Y: q.Y + times*by*ny}
	}
	for _, j := range v.Chars {
		if x, ok := placeOf(t, j.Char); ok && j.Measured {
			all = append(all, off(x, j.Char.Upper.MM()), off(x, j.Char.Lower.MM()), off(x, j.Dev.Dev.MM()))
		}
	}
	f := newFit(all, 6, 12, pairWidth-12, 50)
	p.target, p.fitted = f.all(want), f.all(is)
	p.ends = [2]draw.Point{p.fitted[0], p.fitted[n]}
	for _, j := range v.Chars {
		x, ok := placeOf(t, j.Char)
		if !ok || !j.Measured {
			continue
		}
		p.marks = append(p.marks, placeMark{
			f.at(off(x, j.Dev.Dev.MM())), f.at(off(x, j.Char.Lower.MM())), f.at(off(x, j.Char.Upper.MM())), j.Lane,
		})
	}
	return p
}

// placeOf is where a station lies, from tip A along the bar in mm. Tip-to-tip and crown height are no
// offsets from the curve: the fitted line itself shows them.
func placeOf(t qc.Target, c qc.Characteristic) (x float64, ok bool) {
	for _, s := range t.Stations {
		if s.ID == c.ID {
			x = s.FromCrown.MM()
			if s.ID[0] == 'A' {
				x = -x
			}
			return t.Leg.MM() + t.Arc.MM()/2 + x, true
		}
	}
	return 0, false
}

// band is the paint band on leg A: two strokes across the bar near its tip.
func (p shapePlan) band() []draw.Item {
	a, b := p.fitted[2], p.fitted[4]
	dx, dy := b.X-a.X, b.Y-a.Y
	n := math.Hypot(dx, dy)
	if n == 0 {
		return nil
	}
	across := draw.Point{X: -dy / n * 2, Y: dx / n * 2}
	var items []draw.Item
	for _, q := range []draw.Point{a, b} {
		items = append(items, stroke(q, across, .9))
	}
	return items
}

// items draws the limits as a bar across the target and the measured place by the shape of its lane: a disc
// in, an open triangle too near to tell, a solid diamond out.
func (m placeMark) items() []draw.Item {
	items := []draw.Item{draw.Line{A: m.low, B: m.high, Style: draw.Style{Stroke: .4}}}
	dx, dy := m.high.X-m.low.X, m.high.Y-m.low.Y
	if n := math.Hypot(dx, dy); n > 0 {
		across := draw.Point{X: -dy / n * 1.5, Y: dx / n * 1.5}
		items = append(items, stroke(m.low, across, .4), stroke(m.high, across, .4))
	}
	c := m.at
	switch m.lane {
	case qc.LaneOut:
		return append(items, draw.Diamond(c, 2.4))
	case qc.LaneUnsure:
		return append(items, draw.Triangle(c, 2.2, 1.8, 2.2, .5))
	default:
		return append(items, draw.Dot(c, 1.4))
	}
}

// stroke is a short line through c, so far to either side.
func stroke(c, across draw.Point, width float64) draw.Item {
	return draw.Line{A: draw.Point{X: c.X - across.X, Y: c.Y - across.Y}, B: draw.Point{X: c.X + across.X, Y: c.Y + across.Y},
		Style: draw.Style{Stroke: width}}
}
