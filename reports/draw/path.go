package draw

import "math"

// Op is what a path segment does.
type Op byte

// A segment moves, draws a line, draws a cubic curve or closes the outline.
const (
	MoveTo  Op = 'M'
	LineTo  Op = 'L'
	CurveTo Op = 'C'
	Close   Op = 'Z'
)

// Segment is one step of a path: P[0] for a move or a line; two control points and the end for a curve.
type Segment struct {
	Op Op
	P  [3]Point
}

// Path is an outline in millimetres on paper.
type Path []Segment

func polyline(ps []Point, closed bool) Path {
	var p Path
	for i, q := range ps {
		op := LineTo
		if i == 0 {
			op = MoveTo
		}
		p = append(p, Segment{Op: op, P: [3]Point{q}})
	}
	if closed && len(p) > 0 {
		p = append(p, Segment{Op: Close})
	}
	return p
}

// arcPath approximates an arc by cubic curves of at most 45 degrees: handle 4/3 tan(a/4), off by less
// than 5e-6 of the radius (standard construction, from memory; held by a test against the circle).
func arcPath(c Point, r, from, to float64) Path {
	n := int(math.Ceil(math.Abs(to-from) / 45))
	if n == 0 {
		return nil
	}
	step := (to - from) / float64(n) * math.Pi / 180
	h := 4.0 / 3 * math.Tan(step/4) * r
	a := from * math.Pi / 180
	at := func(a float64) (p, t Point) {
		sin, cos := math.Sincos(a)
		return Point{c.X + r*cos, c.Y + r*sin}, Point{-sin, cos}
	}
	p0, t0 := at(a)
	path := Path{{Op: MoveTo, P: [3]Point{p0}}}
	for i := 1; i <= n; i++ {
		p1, t1 := at(a + float64(i)*step)
		path = append(path, Segment{Op: CurveTo, P: [3]Point{
			{p0.X + h*t0.X, p0.Y + h*t0.Y}, {p1.X - h*t1.X, p1.Y - h*t1.Y}, p1}})
		p0, t0 = p1, t1
	}
	return path
}

// bounds is the box round the path's points and control points.
func (p Path) bounds() (lo, hi Point) {
	lo, hi = Point{math.Inf(1), math.Inf(1)}, Point{math.Inf(-1), math.Inf(-1)}
	for _, s := range p {
		for _, q := range s.points() {
			lo = Point{math.Min(lo.X, q.X), math.Min(lo.Y, q.Y)}
			hi = Point{math.Max(hi.X, q.X), math.Max(hi.Y, q.Y)}
		}
	}
	return lo, hi
}

func (s Segment) points() []Point {
	switch s.Op {
	case CurveTo:
		return s.P[:]
	case Close:
		return nil
	default:
		return s.P[:1]
	}
}
