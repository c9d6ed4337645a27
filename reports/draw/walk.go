package draw

import "math"

// Painter is where a drawing lands: an SVG or a PDF page. Everything it gets is in millimetres on
// paper, already moved, turned and rounded to whole micrometres.
type Painter interface {
	// Path strokes p (stroke is the line width, 0 for none) and fills it with ink, paper or nothing.
	Path(p Path, stroke float64, dash []float64, fill Fill)
	Text(t Text)
}

// Paint hands the drawing to a painter with its upper left corner at the given place.
func (d Drawing) Paint(p Painter, at Point) {
	w := walker{out: p, m: matrix{1, 0, 0, 1, at.X, at.Y}, scale: 1}
	w.all(d.Items)
}

// matrix maps (x, y) to (a x + c y + e, b x + d y + f).
type matrix struct{ a, b, c, d, e, f float64 }

func (m matrix) apply(p Point) Point {
	return Point{
		quantum(float64(m.a*p.X) + float64(m.c*p.Y) + m.e),
		quantum(float64(m.b*p.X) + float64(m.d*p.Y) + m.f),
	}
}

// then returns the map that applies n first and m after it.
func (m matrix) then(n matrix) matrix {
	return matrix{
		m.a*n.a + m.c*n.b, m.b*n.a + m.d*n.b,
		m.a*n.c + m.c*n.d, m.b*n.c + m.d*n.d,
		m.a*n.e + m.c*n.f + m.e, m.b*n.e + m.d*n.f + m.f,
	}
}

// quantum rounds to a whole micrometre of paper.
func quantum(v float64) float64 { return math.Round(v*1000) / 1000 }

type walker struct {
	out   Painter
	m     matrix
	scale float64
	turn  float64
}

func (w *walker) all(items []Item) {
	for _, i := range items {
		i.walk(w)
	}
}

func (w *walker) path(p Path, s Style) {
	moved := make(Path, len(p))
	for i, seg := range p {
		for j := range seg.points() {
			moved[i].P[j] = w.m.apply(seg.P[j])
		}
		moved[i].Op = seg.Op
	}
	var dash []float64
	for _, d := range s.Dash {
		dash = append(dash, quantum(d*w.scale))
	}
	stroke := quantum(s.Stroke * w.scale)
	switch s.Fill {
	case Stripes, Dots:
		w.out.Path(moved, 0, nil, Paper)
		pattern(w.out, moved, s.Fill)
		w.out.Path(moved, stroke, dash, NoFill)
	default:
		w.out.Path(moved, stroke, dash, s.Fill)
	}
}

// pattern fills a convex outline. Pitch and width do not scale: they are chosen for what paper shows.
func pattern(out Painter, p Path, f Fill) {
	poly := flatten(p)
	lo, hi := p.bounds()
	const pitch, width, dot = 0.9, 0.32, 0.21
	if f == Dots {
		row := 0
		for y := lo.Y + pitch/2; y < hi.Y; y += pitch {
			for x := lo.X + pitch/2*float64(1+row%2); x < hi.X; x += pitch {
				if inside(poly, Point{x, y}) {
					out.Path(round(arcPath(Point{x, y}, dot, 0, 360)), 0, nil, Ink)
				}
			}
			row++
		}
		return
	}
	h := hi.Y - lo.Y
	for x := lo.X - h + pitch/2; x < hi.X; x += pitch * math.Sqrt2 {
		if a, b, ok := cut(poly, Point{x, hi.Y}, Point{x + h, lo.Y}); ok {
			out.Path(round(polyline([]Point{a, b}, false)), width, nil, NoFill)
		}
	}
}

func round(p Path) Path {
	for i := range p {
		for j := range p[i].P {
			p[i].P[j] = Point{quantum(p[i].P[j].X), quantum(p[i].P[j].Y)}
		}
	}
	return p
}

func (l Line) walk(w *walker)     { w.path(polyline([]Point{l.A, l.B}, false), l.Style) }
func (l Polyline) walk(w *walker) { w.path(polyline(l.Points, false), l.Style) }
func (l Polygon) walk(w *walker)  { w.path(polyline(l.Points, true), l.Style) }

func (r Rect) walk(w *walker) {
	w.path(polyline([]Point{{r.X, r.Y}, {r.X + r.W, r.Y}, {r.X + r.W, r.Y + r.H}, {r.X, r.Y + r.H}}, true), r.Style)
}

func (c Circle) walk(w *walker) {
	w.path(append(arcPath(c.C, c.R, 0, 360), Segment{Op: Close}), c.Style)
}

func (a Arc) walk(w *walker) { w.path(arcPath(a.C, a.R, a.From, a.To), a.Style) }

func (t Text) walk(w *walker) {
	if t.S == "" {
		return
	}
	t.At = w.m.apply(t.At)
	t.Size = quantum(t.Size * w.scale)
	t.Turn = quantum(t.Turn + w.turn)
	w.out.Text(t)
}

func (g Group) walk(w *walker) {
	s := g.Scale
	if s == 0 {
		s = 1
	}
	sin, cos := math.Sincos(g.Turn * math.Pi / 180)
	in := walker{
		out: w.out, scale: w.scale * s, turn: w.turn + g.Turn,
		m: w.m.then(matrix{s * cos, s * sin, -s * sin, s * cos, g.Move.X, g.Move.Y}),
	}
	in.all(g.Items)
}
