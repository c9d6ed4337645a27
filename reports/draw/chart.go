package draw

import "math"

// Mark is the shape of a chart point.
type Mark int

// The marks: in is a small disc, unsure an open triangle, out a solid diamond, open a question mark
// without a value.
const (
	MarkIn Mark = iota
	MarkUnsure
	MarkOut
	MarkOpen
)

// ChartPoint is one column of a chart.
type ChartPoint struct {
	X     string  // label below the axis
	Y     float64 // value
	Half  float64 // half-length of the whisker, 0 for none
	Mark  Mark
	Note  string // written beside the point; empty for most
	Group string // points that follow each other with the same group stand together
}

// Chart shows values in order against two limits.
type Chart struct {
	W, H         float64
	Title        string // the finding in one line, stands above
	Unit         string // of the values, stands at the axis
	XName        string
	Lower, Upper float64
	LowerText    string
	UpperText    string
	Points       []ChartPoint
}

const (
	chartText  = 8.0 // points
	chartLeft  = 15.0
	chartRight = 17.0
	chartTop   = 10.5
	chartFoot  = 12.0
)

// Drawing lays the chart out. Values beyond three times the wider limit stand at the edge with an
// arrow, so that one stray rib does not flatten all others; their note tells the value.
func (c Chart) Drawing() Drawing {
	d := Drawing{W: c.W, H: c.H, Title: c.Title}
	wide := math.Max(math.Abs(c.Lower), math.Abs(c.Upper))
	lo, hi := c.Lower-0.25*wide, c.Upper+0.25*wide
	for _, p := range c.Points {
		if p.Mark != MarkOpen {
			lo = math.Max(-3*wide, math.Min(lo, p.Y-p.Half-0.1*wide))
			hi = math.Min(3*wide, math.Max(hi, p.Y+p.Half+0.1*wide))
		}
	}
	left, right, top, bottom := chartLeft, c.W-chartRight, chartTop, c.H-chartFoot
	y := func(v float64) float64 { return bottom - (v-lo)/(hi-lo)*(bottom-top) }
	pitch := (right - left) / float64(max(1, len(c.Points)))
	x := func(i int) float64 { return left + (float64(i)+.5)*pitch }
	add := func(items ...Item) { d.Items = append(d.Items, items...) }

	add(Text{At: Point{0, 3.6}, S: c.Title, Size: 10, Bold: true})
	add(Text{At: Point{0, top - 1.4}, S: c.Unit, Size: chartText})
	thin, limit := Style{Stroke: .1}, Style{Stroke: .45}
	for _, t := range Ticks(lo, hi, int((bottom-top)/6), true) {
		add(Line{A: Point{left - 1.2, y(t.At)}, B: Point{left, y(t.At)}, Style: thin})
		add(Text{At: Point{left - 1.8, y(t.At) + 1}, S: t.Label, Size: chartText, Anchor: End})
	}
	add(Line{A: Point{left, top}, B: Point{left, bottom}, Style: thin})
	add(Line{A: Point{left, y(0)}, B: Point{right, y(0)}, Style: Style{Stroke: .12, Dash: []float64{.4, .8}}})
	for _, l := range []struct {
		at   float64
		text string
	}{{c.Upper, c.UpperText}, {c.Lower, c.LowerText}} {
		add(Line{A: Point{left, y(l.at)}, B: Point{right, y(l.at)}, Style: limit})
		add(Text{At: Point{right + 1.2, y(l.at) + 1}, S: l.text, Size: chartText})
	}
	c.groups(add, x, pitch, top, bottom)
	every := 1
	for float64(every)*pitch < 5.4 {
		every++
	}
	for i, p := range c.Points {
		if i%every == 0 {
			add(Text{At: Point{x(i), bottom + 3.6}, S: p.X, Size: chartText, Anchor: Middle})
		}
		add(c.point(p, x(i), y, lo, hi)...)
	}
	add(c.notes(x, y, lo, hi, Rect{X: left, Y: top - 4, W: c.W - left, H: bottom - top + 4})...)
	add(Text{At: Point{right + 1.2, bottom + 3.6}, S: c.XName, Size: chartText})
	return d
}

// groups names each run of points of one group and draws a line where the next begins.
func (c Chart) groups(add func(...Item), x func(int) float64, pitch, top, bottom float64) {
	for i := 0; i < len(c.Points); {
		j := i
		for j < len(c.Points) && c.Points[j].Group == c.Points[i].Group {
			j++
		}
		if i > 0 {
			at := x(i) - pitch/2
			add(Line{A: Point{at, top}, B: Point{at, bottom + 8.6}, Style: Style{Stroke: .15, Dash: []float64{1.2, .8}}})
		}
		if c.Points[i].Group != "" {
			add(Text{At: Point{(x(i) + x(j-1)) / 2, bottom + 8}, S: c.Points[i].Group, Size: chartText, Anchor: Middle})
		}
		i = j
	}
}

func (c Chart) point(p ChartPoint, x float64, y func(float64) float64, lo, hi float64) []Item {
	if p.Mark == MarkOpen {
		return []Item{Text{At: Point{x, y(0) - 1}, S: "?", Size: 10, Bold: true, Anchor: Middle}}
	}
	var items []Item
	v := math.Max(lo, math.Min(hi, p.Y))
	at := Point{x, y(v)}
	if p.Half > 0 && v == p.Y {
		a, b := y(math.Min(hi, p.Y+p.Half)), y(math.Max(lo, p.Y-p.Half))
		items = append(items,
			Line{A: Point{x, a}, B: Point{x, b}, Style: Style{Stroke: .2}},
			Line{A: Point{x - .7, a}, B: Point{x + .7, a}, Style: Style{Stroke: .2}},
			Line{A: Point{x - .7, b}, B: Point{x + .7, b}, Style: Style{Stroke: .2}})
	}
	switch {
	case v != p.Y:
		up := 1.0
		if p.Y < v {
			up = -1
		}
		items = append(items, Polygon{Points: []Point{{x, at.Y}, {x + 1.2, at.Y + 2.2*up}, {x - 1.2, at.Y + 2.2*up}}, Style: Style{Fill: Ink}})
	case p.Mark == MarkOut:
		items = append(items, Polygon{Points: []Point{{x, at.Y - 1.5}, {x + 1.5, at.Y}, {x, at.Y + 1.5}, {x - 1.5, at.Y}}, Style: Style{Fill: Ink}})
	case p.Mark == MarkUnsure:
		items = append(items, Polygon{Points: []Point{{x, at.Y - 1.4}, {x + 1.4, at.Y + 1.1}, {x - 1.4, at.Y + 1.1}}, Style: Style{Stroke: .3, Fill: Paper}})
	default:
		items = append(items, Circle{C: at, R: .8, Style: Style{Fill: Ink}})
	}
	return items
}
