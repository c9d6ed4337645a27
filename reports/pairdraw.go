package reports

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/reports/draw"
)

// Size of the drawing of a pair in millimetres: what a phone shows at about its full width.
const (
	pairWidth  = 93.0
	pairHeight = 84.0
)

// PairDrawing draws two ribs over each other as they stand, the second turned end for end if flip is set,
// over the target and with deviations enlarged. The legs that the pair's tag is tied to stand on the left.
// Errors say which rib cannot be drawn and why.
func PairDrawing(b qc.Batch, first, second string, flip, turned bool) (draw.Drawing, error) {
	var figs [2]shapeFigure
	var devs [2][]int32
	for i, id := range []string{first, second} {
		r, ok := b.Rib(id)
		if !ok {
			return draw.Drawing{}, fmt.Errorf("draw the pair of %q and %q: batch %q has no rib %q", first, second, b.ID, id)
		}
		v, err := b.Judge(r)
		if err != nil {
			return draw.Drawing{}, fmt.Errorf("draw the pair of %q and %q: %w", first, second, err)
		}
		if v.Word == qc.Open {
			return draw.Drawing{}, fmt.Errorf("draw the pair of %q and %q: rib %q is not measured to the end", first, second, id)
		}
		devs[i] = b.Target.PairDeviations(v)
		figs[i] = shapeFigure{name: shortName(id, 12), dev: map[qc.CharID]float64{}}
		for k, place := range b.Target.PairPlaces() {
			figs[i].dev[place] = float64(devs[i][k]) / 1000
		}
	}
	legA, legB := qc.TagLegs(flip, turned)
	turn := [2]bool{legA == 'B', legB == 'B'}
	legs := [2]byte{legA, legB}
	times := enlarge(figs[:])
	d := draw.Drawing{W: pairWidth, H: pairHeight, Title: fmt.Sprintf("Ribs %s and %s as they stand", first, second)}

	p := newPairPlan(b.Target, figs, turn, float64(times))
	d.Items = append(d.Items,
		draw.Text{At: draw.Point{Y: 4.5}, S: fmt.Sprintf("%s + %s", figs[0].name, figs[1].name), Size: 13, Bold: true},
		draw.Text{At: draw.Point{Y: 9.8}, S: fmt.Sprintf("differences drawn %d times", times), Size: 11},
		draw.Polyline{Points: p.target, Style: draw.Style{Stroke: .2}},
		draw.Polyline{Points: p.rib[0], Style: draw.Style{Stroke: .9}},
		draw.Polyline{Points: p.rib[1], Style: draw.Style{Stroke: .9, Dash: []float64{2.6, 1.4}}})
	said := "the two fit each other everywhere"
	if at, diff := qc.LargestDifference(devs[0], devs[1], flip); at >= 0 && diff != 0 {
		place := b.Target.PairPlaces()[at]
		label := string(place)
		if c, ok := b.Target.Characteristic(place); ok {
			label = c.Label()
		}
		said = fmt.Sprintf("largest difference: %s %s mm", label, plain(max(diff, -diff), 1))
		for _, q := range p.places(place) {
			d.Items = append(d.Items, draw.Circle{C: q, R: 3.2, Style: draw.Style{Stroke: .7}})
		}
	}
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: pairWidth / 2, Y: 65}, S: said, Size: 12, Bold: true, Anchor: draw.Middle})
	for i, y := range []float64{72, 78} {
		other := 'A' + 'B' - legs[i]
		style := draw.Style{Stroke: .9}
		if i == 1 {
			style.Dash = []float64{2.6, 1.4}
		}
		d.Items = append(d.Items,
			draw.Line{A: draw.Point{X: 0, Y: y - 1.4}, B: draw.Point{X: 9, Y: y - 1.4}, Style: style},
			draw.Text{At: draw.Point{X: 11, Y: y}, S: fmt.Sprintf("%s leg %c", figs[i].name, legs[i]), Size: 12, Bold: true},
			draw.Text{At: draw.Point{X: pairWidth - 11, Y: y}, S: fmt.Sprintf("%s leg %c", figs[i].name, other), Size: 12, Anchor: draw.End},
			draw.Line{A: draw.Point{X: pairWidth - 9, Y: y - 1.4}, B: draw.Point{X: pairWidth, Y: y - 1.4}, Style: style})
	}
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: 0, Y: 83.2}, S: "tag on this side", Size: 11})
	d.Desc = fmt.Sprintf("Rib %s (full line) and rib %s (broken line) over the target, differences drawn %d times; %s. Leg %c of %s and leg %c of %s stand on the left.",
		first, second, times, said, legA, first, legB, second)
	return d, nil
}

// pairPlan holds the lines of a pair in paper millimetres.
type pairPlan struct {
	t      qc.Target
	figs   [2]shapeFigure
	turn   [2]bool
	times  float64
	fit    func(draw.Point) draw.Point
	target []draw.Point
	rib    [2][]draw.Point
}

func newPairPlan(t qc.Target, figs [2]shapeFigure, turn [2]bool, times float64) pairPlan {
	p := pairPlan{t: t, figs: figs, turn: turn, times: times}
	wanted := p.line(nil, 0, false)
	all := append([]draw.Point(nil), wanted...)
	var ribs [2][]draw.Point
	for i, f := range figs {
		ribs[i] = p.line(p.offsets(f), f.dev[qc.Tip]/2*times, turn[i])
		all = append(all, ribs[i]...)
	}
	f := newFit(all, pairWidth, 47)
	p.fit = func(q draw.Point) draw.Point { r := f.at(q); return draw.Point{X: r.X, Y: r.Y + 12} }
	p.target = each(wanted, p.fit)
	for i := range ribs {
		p.rib[i] = each(ribs[i], p.fit)
	}
	return p
}

// offsets are the enlarged offsets of a rib at its stations; without stations the crown alone says what
// the arc does between its ends.
func (p pairPlan) offsets(f shapeFigure) []shapePoint {
	var ps []shapePoint
	r := p.t.Radius.MM()
	for _, s := range p.t.Stations {
		a := s.FromCrown.MM() / r
		if s.ID[0] == 'A' {
			a = -a
		}
		ps = append(ps, shapePoint{a, f.dev[s.ID] * p.times})
	}
	if len(ps) == 0 {
		phi := p.t.Arc.MM() / (2 * r)
		ps = []shapePoint{{-phi, 0}, {0, f.dev[qc.Crown] * p.times}, {phi, 0}}
	}
	sortPoints(ps)
	return ps
}

// line is the rib, or the target where it has no offsets, from the left tip to the right one.
func (p pairPlan) line(ps []shapePoint, half float64, turned bool) []draw.Point {
	phi := p.t.Arc.MM() / (2 * p.t.Radius.MM())
	line := []draw.Point{p.tip(-1, half)}
	const n = 60
	for i := 0; i <= n; i++ {
		a := -phi + 2*phi*float64(i)/n
		off := 0.0
		if ps != nil {
			off = offsetAt(ps, mirrored(a, turned))
		}
		line = append(line, p.at(a, off))
	}
	return append(line, p.tip(1, half))
}

func mirrored(a float64, turned bool) float64 {
	if turned {
		return -a
	}
	return a
}

func (p pairPlan) at(a, off float64) draw.Point {
	r := p.t.Radius.MM()
	return draw.Point{X: (r + off) * math.Sin(a), Y: (r + off) * math.Cos(a)}
}

func (p pairPlan) tip(side, out float64) draw.Point {
	r, leg := p.t.Radius.MM(), p.t.Leg.MM()
	phi := p.t.Arc.MM() / (2 * r)
	return draw.Point{X: side * (r*math.Sin(phi) + leg*math.Cos(phi) + out), Y: r*math.Cos(phi) - leg*math.Sin(phi)}
}

// places is where the first rib has a characteristic, in paper millimetres: both ends of the tip line for
// tip-to-tip.
func (p pairPlan) places(id qc.CharID) []draw.Point {
	half := p.figs[0].dev[qc.Tip] / 2 * p.times
	if id == qc.Tip {
		return []draw.Point{p.fit(p.tip(-1, half)), p.fit(p.tip(1, half))}
	}
	a := 0.0
	for _, s := range p.t.Stations {
		if s.ID == id {
			if a = s.FromCrown.MM() / p.t.Radius.MM(); s.ID[0] == 'A' {
				a = -a
			}
		}
	}
	return []draw.Point{p.fit(p.at(mirrored(a, p.turn[0]), offsetAt(p.offsets(p.figs[0]), a)))}
}
