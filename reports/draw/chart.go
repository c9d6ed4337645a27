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
	f := newFrame(&d, lo, hi, len(c.Points))
	f.Axis(c.Unit, int((f.Bottom-f.Top)/6))
	f.zero()
	f.limit(c.Upper, c.UpperText)
	f.limit(c.Lower, c.LowerText)
	c.groups(f)
	every := f.every()
	for i, p := range c.Points {
		if i%every == 0 {
			f.Write(f.X(i), f.Bottom+3.6, p.X, Middle)
		}
		f.Add(p.items(f, f.X(i))...)
	}
	f.Add(c.notes(f, Rect{X: f.Left, Y: f.Top - 4, W: c.W - f.Left, H: f.Bottom - f.Top + 4})...)
	f.Write(f.Right+1.2, f.Bottom+3.6, c.XName, Start)
	return d
}

// newFrame leaves room for the names at all sides.
func newFrame(d *Drawing, lo, hi float64, columns int) Frame {
	const left, right, top, foot = 15.0, 17.0, 10.5, 12.0
	return Frame{Drawing: d, Left: left, Right: d.W - right, Top: top, Bottom: d.H - foot, Lo: lo, Hi: hi, Columns: columns}
}

// groups names each run of points of one group and draws a line where the next begins.
func (c Chart) groups(f Frame) {
	for i := 0; i < len(c.Points); {
		j := i
		for j < len(c.Points) && c.Points[j].Group == c.Points[i].Group {
			j++
		}
		if i > 0 {
			f.part(f.X(i) - f.Pitch()/2)
		}
		f.Write((f.X(i)+f.X(j-1))/2, f.Bottom+8, c.Points[i].Group, Middle)
		i = j
	}
}

func (p ChartPoint) items(f Frame, x float64) []Item {
	if p.Mark == MarkOpen {
		return []Item{Text{At: Point{x, f.Y(0) - 1}, S: "?", Size: 10, Bold: true, Anchor: Middle}}
	}
	v := math.Max(f.Lo, math.Min(f.Hi, p.Y))
	at := Point{x, f.Y(v)}
	if v != p.Y {
		up := 1.0
		if p.Y < v {
			up = -1
		}
		return []Item{Polygon{Points: []Point{at, {x + 1.2, at.Y + 2.2*up}, {x - 1.2, at.Y + 2.2*up}}, Style: Style{Fill: Ink}}}
	}
	var items []Item
	if p.Half > 0 {
		a, b := f.Y(math.Min(f.Hi, p.Y+p.Half)), f.Y(math.Max(f.Lo, p.Y-p.Half))
		for _, l := range [][2]Point{{{x, a}, {x, b}}, {{x - .7, a}, {x + .7, a}}, {{x - .7, b}, {x + .7, b}}} {
			items = append(items, Line{A: l[0], B: l[1], Style: Style{Stroke: .2}})
		}
	}
	switch p.Mark {
	case MarkOut:
		return append(items, Diamond(at, 1.5))
	case MarkUnsure:
		return append(items, Triangle(at, 1.4, 1.1, 1.4, .3))
	}
	return append(items, Dot(at, .8))
}
