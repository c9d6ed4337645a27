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
	f := newFrame(&d, lo, hi, n)
	unit := c.Unit
	if n := len(c.Runs); n > 0 && c.Runs[n-1].Provisional {
		unit += " (broken lines: limits still provisional)"
	}
	f.Axis(unit, int((f.Bottom-f.Top)/6))
	for _, l := range []struct {
		at   float64
		text string
	}{{c.Upper, c.UpperText}, {c.Lower, c.LowerText}} {
		if l.at > lo && l.at < hi { // those of the tolerance that fall inside
			f.limit(l.at, l.text)
		}
	}
	if lo < 0 && hi > 0 {
		f.zero()
	}
	every, i := f.every(), 0
	for k, r := range c.Runs {
		run := f // its own columns
		run.Left += float64(i) * f.Pitch()
		run.Columns = len(r.Points)
		run.Right = run.Left + float64(run.Columns)*f.Pitch()
		if k > 0 {
			f.part(run.Left)
		}
		f.Write((run.Left+run.Right)/2, f.Bottom+8, r.Name, Middle)
		for at, p := range r.Points {
			if (i+at)%every == 0 {
				f.Write(run.X(at), f.Bottom+3.6, p.X, Middle)
			}
		}
		r.draw(run, f.Right, k == len(c.Runs)-1)
		i += len(r.Points)
	}
	f.Write(f.Right+1.2, f.Bottom+3.6, c.XName, Start)
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

// draw paints one run; the last names its lines at the right edge.
func (r OrderRun) draw(f Frame, edge float64, last bool) {
	if r.Limits {
		style := Style{Stroke: .25}
		if r.Provisional {
			style.Dash = []float64{1.4, .7}
		}
		f.Level(r.Upper, style)
		f.Level(r.Lower, style)
		if last {
			up, down := f.Y(r.Upper), f.Y(r.Lower)
			f.Write(edge+1.2, up+1, "+3σ "+number(r.Upper), Start)
			f.Write(edge+1.2, down+1, "−3σ "+number(r.Lower), Start)
			if m := f.Y(r.Mean); len(r.Means) == 0 && m-up > 3 && down-m > 3 {
				f.Level(r.Mean, Style{Stroke: .12})
				f.Write(edge+1.2, m+1, "mean "+number(r.Mean), Start)
			}
		}
	}
	for _, m := range r.Means {
		f.Add(Line{A: Point{f.X(m.From) - .8, f.Y(m.FromY)}, B: Point{f.X(m.To) + .8, f.Y(m.ToY)}, Style: Style{Stroke: .7}}, r.meanText(m, f))
	}
	var path []Point
	for i, p := range r.Points {
		path = append(path, Point{f.X(i), f.Y(p.Y)})
	}
	if len(path) > 1 {
		f.Add(Polyline{Points: path, Style: Style{Stroke: .15}})
	}
	for i, p := range r.Points {
		if p.Beyond {
			f.Add(Diamond(path[i], 1.5))
		} else {
			f.Add(Dot(path[i], .8))
		}
	}
}

// meanText stands clear of the points that its line runs through.
func (r OrderRun) meanText(m OrderMean, f Frame) Text {
	x, y := f.X, f.Y
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
