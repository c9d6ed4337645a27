package draw

import (
	"math"
	"strconv"
)

// OrderPoint is one value of an order chart.
type OrderPoint struct {
	X      string // label below the axis
	Y      float64
	Beyond bool // outside the control limits
}

// OrderRun is a run of values that belong together: lines never cross its ends.
type OrderRun struct {
	Name         string // below the axis
	Points       []OrderPoint
	Limits       bool // whether Mean, Lower and Upper hold
	Provisional  bool // the limits are drawn broken and said to be provisional
	Mean         float64
	Lower, Upper float64
	Means        []OrderMean // heavy lines over parts of the run, of a change found
}

// OrderMean is a level, or a slope, over the points From to To (0-based, within the run).
type OrderMean struct {
	From, To     int
	FromY, ToY   float64
	Text         string // beside its end
	AtEnd, Above bool   // where Text stands: at the last point, above the line
}

// OrderChart shows values in the order made with their control limits. It scales to the values, so limits of the
// tolerance are shown where they fall inside and named at the edge where they do not.
type OrderChart struct {
	W, H         float64
	Title        string // the finding in one line
	Unit         string
	XName        string
	Lower, Upper float64 // of the tolerance
	LowerText    string
	UpperText    string
	Runs         []OrderRun
}

// Drawing lays the chart out.
func (c OrderChart) Drawing() Drawing {
	d := Drawing{W: c.W, H: c.H, Title: c.Title}
	lo, hi, n := c.span()
	left, right, top, bottom := chartLeft, c.W-chartRight, chartTop, c.H-chartFoot
	y := func(v float64) float64 { return bottom - (v-lo)/(hi-lo)*(bottom-top) }
	pitch := (right - left) / float64(max(1, n))
	add := func(items ...Item) { d.Items = append(d.Items, items...) }

	add(Text{At: Point{0, 3.6}, S: c.Title, Size: 10, Bold: true})
	unit := c.Unit
	if n := len(c.Runs); n > 0 && c.Runs[n-1].Provisional {
		unit += " (broken lines: limits still provisional)"
	}
	add(Text{At: Point{0, top - 1.4}, S: unit, Size: chartText})
	thin := Style{Stroke: .1}
	for _, t := range Ticks(lo, hi, int((bottom-top)/6), true) {
		add(Line{A: Point{left - 1.2, y(t.At)}, B: Point{left, y(t.At)}, Style: thin})
		add(Text{At: Point{left - 1.8, y(t.At) + 1}, S: t.Label, Size: chartText, Anchor: End})
	}
	add(Line{A: Point{left, top}, B: Point{left, bottom}, Style: thin})
	c.tolerance(add, y, lo, hi, left, right)
	every := 1
	for float64(every)*pitch < 5.4 {
		every++
	}
	i := 0
	for k, r := range c.Runs {
		from := left + float64(i)*pitch
		x := func(at int) float64 { return from + (float64(at)+.5)*pitch }
		if k > 0 {
			add(Line{A: Point{from, top}, B: Point{from, bottom + 8.6}, Style: Style{Stroke: .15, Dash: []float64{1.2, .8}}})
		}
		add(Text{At: Point{from + float64(len(r.Points))*pitch/2, bottom + 8}, S: r.Name, Size: chartText, Anchor: Middle})
		for at, p := range r.Points {
			if (i+at)%every == 0 {
				add(Text{At: Point{x(at), bottom + 3.6}, S: p.X, Size: chartText, Anchor: Middle})
			}
		}
		r.draw(add, x, y, from, from+float64(len(r.Points))*pitch, right, k == len(c.Runs)-1)
		i += len(r.Points)
	}
	add(Text{At: Point{right + 1.2, bottom + 3.6}, S: c.XName, Size: chartText})
	return d
}

// span is what the chart must show: all values and control limits.
func (c OrderChart) span() (lo, hi float64, n int) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, r := range c.Runs {
		n += len(r.Points)
		for _, p := range r.Points {
			lo, hi = math.Min(lo, p.Y), math.Max(hi, p.Y)
		}
		if r.Limits {
			lo, hi = math.Min(lo, r.Lower), math.Max(hi, r.Upper)
		}
	}
	if !(hi > lo) {
		mid := 0.0
		if n > 0 {
			mid = lo
		}
		lo, hi = mid-1, mid+1
	}
	pad := 0.08 * (hi - lo)
	return lo - pad, hi + pad, n
}

// tolerance draws the limits of the tolerance that fall inside and names the others at the edge.
func (c OrderChart) tolerance(add func(...Item), y func(float64) float64, lo, hi, left, right float64) {
	for _, l := range []struct {
		at   float64
		text string
	}{{c.Upper, c.UpperText}, {c.Lower, c.LowerText}} {
		if l.at > lo && l.at < hi {
			add(Line{A: Point{left, y(l.at)}, B: Point{right, y(l.at)}, Style: Style{Stroke: .45}})
			add(Text{At: Point{right + 1.2, y(l.at) + 1}, S: l.text, Size: chartText})
		}
	}
	if lo < 0 && hi > 0 {
		add(Line{A: Point{left, y(0)}, B: Point{right, y(0)}, Style: Style{Stroke: .12, Dash: []float64{.4, .8}}})
	}
}

// draw paints one run; the last names its lines at the right edge.
func (r OrderRun) draw(add func(...Item), x func(int) float64, y func(float64) float64, from, to, right float64, last bool) {
	if r.Limits {
		style := Style{Stroke: .25}
		if r.Provisional {
			style.Dash = []float64{1.4, .7}
		}
		add(Line{A: Point{from, y(r.Upper)}, B: Point{to, y(r.Upper)}, Style: style}, Line{A: Point{from, y(r.Lower)}, B: Point{to, y(r.Lower)}, Style: style})
		if last {
			up, down := y(r.Upper), y(r.Lower)
			add(Text{At: Point{right + 1.2, up + 1}, S: "+3σ " + number(r.Upper), Size: chartText},
				Text{At: Point{right + 1.2, down + 1}, S: "−3σ " + number(r.Lower), Size: chartText})
			if m := y(r.Mean); len(r.Means) == 0 && m-up > 3 && down-m > 3 {
				add(Line{A: Point{from, m}, B: Point{to, m}, Style: Style{Stroke: .12}},
					Text{At: Point{right + 1.2, m + 1}, S: "mean " + number(r.Mean), Size: chartText})
			}
		}
	}
	for _, m := range r.Means {
		add(Line{A: Point{x(m.From) - .8, y(m.FromY)}, B: Point{x(m.To) + .8, y(m.ToY)}, Style: Style{Stroke: .7}})
		add(r.meanText(m, x, y))
	}
	var path []Point
	for i, p := range r.Points {
		path = append(path, Point{x(i), y(p.Y)})
	}
	if len(path) > 1 {
		add(Polyline{Points: path, Style: Style{Stroke: .15}})
	}
	for i, p := range r.Points {
		at := path[i]
		if p.Beyond {
			add(Polygon{Points: []Point{{at.X, at.Y - 1.5}, {at.X + 1.5, at.Y}, {at.X, at.Y + 1.5}, {at.X - 1.5, at.Y}}, Style: Style{Fill: Ink}})
		} else {
			add(Circle{C: at, R: .8, Style: Style{Fill: Ink}})
		}
	}
}

// meanText stands clear of the points that its line runs through.
func (r OrderRun) meanText(m OrderMean, x func(int) float64, y func(float64) float64) Text {
	at, anchor := x(m.From), Start
	if m.AtEnd {
		at, anchor = x(m.To), End
	}
	top, bottom := math.Min(y(m.FromY), y(m.ToY)), math.Max(y(m.FromY), y(m.ToY))
	wide := .5 * noteDigit * float64(len([]rune(m.Text)))
	for i := m.From; i <= m.To; i++ {
		if math.Abs(x(i)-at) < 2*wide+2 {
			top, bottom = math.Min(top, y(r.Points[i].Y)), math.Max(bottom, y(r.Points[i].Y))
		}
	}
	if m.Above {
		return Text{At: Point{at, top - 2.2}, S: m.Text, Size: chartText, Bold: true, Anchor: anchor}
	}
	return Text{At: Point{at, bottom + 4.2}, S: m.Text, Size: chartText, Bold: true, Anchor: anchor}
}

// number prints a level with one decimal, a sign and a true minus.
func number(v float64) string {
	s := strconv.FormatFloat(math.Abs(v), 'f', 1, 64)
	switch {
	case s == "0.0":
		return s
	case v < 0:
		return "−" + s
	}
	return "+" + s
}
