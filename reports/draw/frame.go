package draw

// chartText is the size of what stands in a chart, in points.
const chartText = 8.0

// Frame is the field of a chart: columns side by side from Left to Right, values from Lo at the Bottom to Hi at
// the Top.
type Frame struct {
	*Drawing
	Left, Right, Top, Bottom float64 // on the drawing, mm
	Lo, Hi                   float64 // of the values
	Columns                  int
}

// Add draws.
func (f Frame) Add(items ...Item) { f.Items = append(f.Items, items...) }

// Y is where a value stands.
func (f Frame) Y(v float64) float64 { return f.Bottom - (v-f.Lo)/(f.Hi-f.Lo)*(f.Bottom-f.Top) }

// Pitch is the width of a column.
func (f Frame) Pitch() float64 { return (f.Right - f.Left) / float64(max(1, f.Columns)) }

// X is the middle of a column.
func (f Frame) X(i int) float64 { return f.Left + (float64(i)+.5)*f.Pitch() }

// Write writes at a point.
func (f Frame) Write(x, y float64, s string, a Anchor) {
	f.Add(Text{At: Point{x, y}, S: s, Size: chartText, Anchor: a})
}

// Level draws a level line through the whole field.
func (f Frame) Level(v float64, s Style) {
	f.Add(Line{A: Point{f.Left, f.Y(v)}, B: Point{f.Right, f.Y(v)}, Style: s})
}

// Axis writes the title above, the unit below it and about so many marks at the left.
func (f Frame) Axis(unit string, marks int) {
	thin := Style{Stroke: .1}
	f.Add(Text{At: Point{0, 3.6}, S: f.Title, Size: 10, Bold: true})
	f.Write(0, f.Top-1.4, unit, Start)
	for _, t := range Ticks(f.Lo, f.Hi, marks, true) {
		f.Add(Line{A: Point{f.Left - 1.2, f.Y(t.At)}, B: Point{f.Left, f.Y(t.At)}, Style: thin})
		f.Write(f.Left-1.8, f.Y(t.At)+1, t.Label, End)
	}
	f.Add(Line{A: Point{f.Left, f.Top}, B: Point{f.Left, f.Bottom}, Style: thin})
}

// zero is the line of no deviation.
func (f Frame) zero() { f.Level(0, Style{Stroke: .12, Dash: []float64{.4, .8}}) }

// limit is a heavy line with its name at the right.
func (f Frame) limit(v float64, name string) {
	f.Level(v, Style{Stroke: .45})
	f.Write(f.Right+1.2, f.Y(v)+1, name, Start)
}

// every says which columns are named so that names stand clear of each other: every so many-th.
func (f Frame) every() int {
	n := 1
	for float64(n)*f.Pitch() < 5.4 {
		n++
	}
	return n
}

// part is the broken line where another group of columns begins.
func (f Frame) part(x float64) {
	f.Add(Line{A: Point{x, f.Top}, B: Point{x, f.Bottom + 8.6}, Style: Style{Stroke: .15, Dash: []float64{1.2, .8}}})
}

// Dot is a value within its limits.
func Dot(c Point, r float64) Circle { return Circle{C: c, R: r, Style: Style{Fill: Ink}} }

// Diamond is a value beyond its limits, r from its middle to each corner.
func Diamond(c Point, r float64) Polygon {
	return Polygon{Points: []Point{{c.X, c.Y - r}, {c.X + r, c.Y}, {c.X, c.Y + r}, {c.X - r, c.Y}}, Style: Style{Fill: Ink}}
}

// Triangle is a value too near a limit to tell: open, so far up from its middle, and so far down and to either side.
func Triangle(c Point, up, down, half, stroke float64) Polygon {
	return Polygon{Points: []Point{{c.X, c.Y - up}, {c.X + half, c.Y + down}, {c.X - half, c.Y + down}},
		Style: Style{Stroke: stroke, Fill: Paper}}
}
