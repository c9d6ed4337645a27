package reports

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/reports/draw"
)

// shapes draws the mean rib and the first ribs that need a hand over the target curve, deviations
// enlarged. It needs stations and tips to draw from.
func shapes(w work) (Section, bool) {
	if len(w.b.Target.Stations) == 0 {
		return Section{}, false
	}
	var figs []shapeFigure
	if mean, n := meanShape(w); n > 0 {
		figs = append(figs, shapeFigure{name: fmt.Sprintf("Mean of %s", plural(n, "rib", "ribs")), dev: mean})
	}
	for _, r := range w.ribs {
		if len(figs) == 4 || r.v.Word == qc.Pass {
			break
		}
		if dev, ok := shapeOf(w, r); ok {
			figs = append(figs, shapeFigure{name: shortName(r.ID, 24), word: r.v.Word, dev: dev})
		}
	}
	if len(figs) == 0 {
		return Section{}, false
	}
	times := enlarge(figs)
	d := draw.Drawing{
		W: textWidth, H: 66 * float64((len(figs)+1)/2), Title: "Shape of ribs over the target",
		Desc: fmt.Sprintf("%d ribs over the target curve, deviations enlarged %d times", len(figs), times),
	}
	for i, f := range figs {
		d.Items = append(d.Items, draw.Group{
			Move:  draw.Point{X: float64(i%2) * 97, Y: float64(i/2) * 66},
			Items: f.items(w.b.Target, float64(times), 93, 62),
		})
	}
	return Section{Key: "shapes", Title: "Shape over target", Blocks: []Block{
		{Text: fmt.Sprintf("Thin line: target centreline. Heavy line: the rib, its deviations enlarged %d times, straight between the measured points (dots). Leg A is on the left. Crown height is measured from the tips, not from the curve, and is not drawn.", times)},
		{Figure: &d},
	}}, true
}

// shapeFigure is one rib's deviations in millimetres by characteristic.
type shapeFigure struct {
	name string
	word qc.Word
	dev  map[qc.CharID]float64
}

// shapeOf needs every station; a missing tip counts as on target, for the drawing only.
func shapeOf(w work, r judged) (map[qc.CharID]float64, bool) {
	dev := map[qc.CharID]float64{}
	for _, j := range r.v.Chars {
		if j.Measured {
			dev[j.Char.ID] = j.Dev.Dev.MM()
		}
	}
	for _, s := range w.b.Target.Stations {
		if _, ok := dev[s.ID]; !ok {
			return nil, false
		}
	}
	return dev, true
}

func meanShape(w work) (map[qc.CharID]float64, int) {
	sum, n := map[qc.CharID]float64{}, 0
	for _, r := range w.bent {
		dev, ok := shapeOf(w, r)
		if !ok || r.v.Word == qc.Open {
			continue
		}
		n++
		for id, v := range dev {
			sum[id] += v // one sum each: the order of the map does not matter
		}
	}
	for id := range sum {
		sum[id] /= float64(n)
	}
	return sum, n
}

// enlarge chooses the largest of a few round factors that keeps every deviation under a tenth of the
// rib's size.
func enlarge(figs []shapeFigure) int {
	worst := 0.1
	for _, f := range figs {
		for _, v := range f.dev {
			worst = math.Max(worst, math.Abs(v))
		}
	}
	best := 1
	for _, k := range []int{2, 5, 10, 20, 50, 100} {
		if float64(k)*worst <= 260 {
			best = k
		}
	}
	return best
}

// shapePoint is a measured place: angle from the crown (leg A negative) and offset along the normal.
type shapePoint struct{ angle, off float64 }

// items draws the figure into a box. The arc's centre is the origin, y up, in millimetres of the rib:
// centreline radius R, half-angle arc/(2R), legs along the tangents at the ends of the arc.
func (f shapeFigure) items(t qc.Target, times, width, height float64) []draw.Item {
	r, leg := t.Radius.MM(), t.Leg.MM()
	phi := t.Arc.MM() / (2 * r)
	var ps []shapePoint
	for _, s := range t.Stations {
		a := s.FromCrown.MM() / r
		if s.ID[0] == 'A' {
			a = -a
		}
		ps = append(ps, shapePoint{a, f.dev[s.ID]})
	}
	sortPoints(ps)
	at := func(a, off float64) draw.Point {
		return draw.Point{X: (r + off) * math.Sin(a), Y: (r + off) * math.Cos(a)}
	}
	legEnd := func(side, out float64) draw.Point {
		return draw.Point{X: side * (r*math.Sin(phi) + leg*math.Cos(phi) + out), Y: r*math.Cos(phi) - leg*math.Sin(phi)}
	}
	half := f.dev[qc.Tip] / 2 * times
	var wanted, bent []draw.Point
	wanted = append(wanted, legEnd(-1, 0))
	bent = append(bent, legEnd(-1, half))
	const n = 60
	for i := 0; i <= n; i++ {
		a := -phi + 2*phi*float64(i)/n
		wanted = append(wanted, at(a, 0))
		bent = append(bent, at(a, offsetAt(ps, a)*times))
	}
	wanted = append(wanted, legEnd(1, 0))
	bent = append(bent, legEnd(1, half))

	head := 6.5
	fit := newFit(append(append([]draw.Point{}, wanted...), bent...), width, height-head-3)
	place := func(p draw.Point) draw.Point { q := fit.at(p); return draw.Point{X: q.X, Y: q.Y + head} }
	items := []draw.Item{
		draw.Polyline{Points: each(wanted, place), Style: draw.Style{Stroke: .15}},
		draw.Polyline{Points: each(bent, place), Style: draw.Style{Stroke: .55}},
	}
	for _, p := range ps {
		items = append(items, draw.Circle{C: place(at(p.angle, p.off*times)), R: .8, Style: draw.Style{Fill: draw.Ink}})
	}
	for _, side := range []float64{-1, 1} {
		items = append(items, draw.Circle{C: place(legEnd(side, half)), R: .8, Style: draw.Style{Fill: draw.Ink}})
	}
	x := 0.0
	if sign := signOf(f.word); sign != draw.NoSign {
		items = append(items, sign.Items(draw.Point{X: 2.6, Y: 2.6}, 2)...)
		x = 6.4
	}
	name := f.name
	if f.word != "" {
		name += " · " + string(f.word)
	}
	return append(items, draw.Text{At: draw.Point{X: x, Y: 4}, S: name, Size: 10, Bold: true})
}

// offsetAt is the offset at an angle, straight between measured points and level beyond the last.
func offsetAt(ps []shapePoint, a float64) float64 {
	if a <= ps[0].angle {
		return ps[0].off
	}
	for i := 1; i < len(ps); i++ {
		if a <= ps[i].angle {
			p, q := ps[i-1], ps[i]
			return p.off + (q.off-p.off)*(a-p.angle)/(q.angle-p.angle)
		}
	}
	return ps[len(ps)-1].off
}

func sortPoints(ps []shapePoint) {
	for i := 1; i < len(ps); i++ {
		for j := i; j > 0 && ps[j].angle < ps[j-1].angle; j-- {
			ps[j], ps[j-1] = ps[j-1], ps[j]
		}
	}
}

// fit maps rib millimetres, y up, onto a box of paper millimetres, y down.
type fit struct{ scale, x, y float64 }

func newFit(ps []draw.Point, w, h float64) fit {
	lo, hi := ps[0], ps[0]
	for _, p := range ps {
		lo = draw.Point{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
		hi = draw.Point{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
	}
	s := math.Min((w-4)/(hi.X-lo.X), (h-2)/(hi.Y-lo.Y))
	return fit{scale: s, x: w/2 - s*(lo.X+hi.X)/2, y: h/2 + s*(lo.Y+hi.Y)/2}
}

func (f fit) at(p draw.Point) draw.Point {
	return draw.Point{X: f.x + f.scale*p.X, Y: f.y - f.scale*p.Y}
}

func each(ps []draw.Point, m func(draw.Point) draw.Point) []draw.Point {
	out := make([]draw.Point, len(ps))
	for i, p := range ps {
		out[i] = m(p)
	}
	return out
}
