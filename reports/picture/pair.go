package picture

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// Size of the drawing of a pair in millimetres: what a phone shows at about its full width.
const (
	pairWidth  = 93.0
	pairHeight = 84.0
)

// Pair draws two ribs over each other as they stand, the second turned end for end if flip is set,
// over the target and with deviations enlarged. The legs that the pair's tag is tied to stand on the left.
// Errors say which rib cannot be drawn and why.
func Pair(b qc.Batch, first, second string, flip, turned bool) (draw.Drawing, error) {
	var figs [2]figure
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
		figs[i] = figure{name: draw.Shorten(id, 12), dev: map[qc.CharID]float64{}}
		for k, place := range b.Target.PairPlaces() {
			figs[i].dev[place] = float64(devs[i][k]) / 1000
		}
	}
	legA, legB := qc.TagLegs(flip, turned)
	legs := [2]byte{legA, legB}
	times := enlarge(worstOf(figs[:]), shapeRoom)
	d := draw.Drawing{W: pairWidth, H: pairHeight, Title: fmt.Sprintf("Ribs %s and %s as they stand", first, second)}
	p := newPairPlan(b.Target, figs, [2]bool{legA == 'B', legB == 'B'}, float64(times))
	style := [2]draw.Style{{Stroke: .9}, {Stroke: .9, Dash: []float64{2.6, 1.4}}}
	d.Items = append(d.Items,
		draw.Text{At: draw.Point{Y: 4.5}, S: fmt.Sprintf("%s + %s", figs[0].name, figs[1].name), Size: 13, Bold: true},
		draw.Text{At: draw.Point{Y: 9.8}, S: fmt.Sprintf("differences drawn %d times", times), Size: 11},
		draw.Polyline{Points: p.target, Style: draw.Style{Stroke: .2}},
		draw.Polyline{Points: p.rib[0], Style: style[0]},
		draw.Polyline{Points: p.rib[1], Style: style[1]})
	said := "the two fit each other everywhere"
	if at, diff := qc.LargestDifference(devs[0], devs[1], flip); at >= 0 && diff != 0 {
		place := b.Target.PairPlaces()[at]
		label := string(place)
		if c, ok := b.Target.Characteristic(place); ok {
			label = c.Label()
		}
		said = fmt.Sprintf("largest difference: %s %s mm", label, words.Fixed(max(diff, -diff), tenth))
		for _, q := range p.places(place) {
			d.Items = append(d.Items, draw.Circle{C: q, R: 3.2, Style: draw.Style{Stroke: .7}})
		}
	}
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: pairWidth / 2, Y: 65}, S: said, Size: 12, Bold: true, Anchor: draw.Middle})
	for i, y := range []float64{72, 78} {
		leg := func(c rune) string { return fmt.Sprintf("%s leg %c", figs[i].name, c) }
		d.Items = append(d.Items,
			draw.Line{A: draw.Point{X: 0, Y: y - 1.4}, B: draw.Point{X: 9, Y: y - 1.4}, Style: style[i]},
			draw.Text{At: draw.Point{X: 11, Y: y}, S: leg(rune(legs[i])), Size: 12, Bold: true},
			draw.Text{At: draw.Point{X: pairWidth - 11, Y: y}, S: leg('A' + 'B' - rune(legs[i])), Size: 12, Anchor: draw.End},
			draw.Line{A: draw.Point{X: pairWidth - 9, Y: y - 1.4}, B: draw.Point{X: pairWidth, Y: y - 1.4}, Style: style[i]})
	}
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: 0, Y: 83.2}, S: "tag on this side", Size: 11})
	d.Desc = fmt.Sprintf("Rib %s (full line) and rib %s (broken line) over the target, differences drawn %d times; %s. "+
		"Leg %c of %s and leg %c of %s stand on the left.", first, second, times, said, legA, first, legB, second)
	return d, nil
}

// pairPlan holds the lines of a pair in paper millimetres.
type pairPlan struct {
	ribLine
	fit    fit
	off    []offset // of the first rib
	half   float64  // how far out each of its tips stands
	turned bool     // the first rib
	target []draw.Point
	rib    [2][]draw.Point
}

func newPairPlan(t qc.Target, figs [2]figure, turn [2]bool, times float64) pairPlan {
	p := pairPlan{ribLine: newRibLine(t), turned: turn[0]}
	wanted := p.line(nil, 0, false)
	all := append([]draw.Point(nil), wanted...)
	var ribs [2][]draw.Point
	for i, f := range figs {
		off, half := p.offsets(f.dev, times), f.dev[qc.Tip]/2*times
		if i == 0 {
			p.off, p.half = off, half
		}
		ribs[i] = p.line(off, half, turn[i])
		all = append(all, ribs[i]...)
	}
	p.fit = newFit(all, 0, 12, pairWidth, 47)
	p.target, p.rib[0], p.rib[1] = p.fit.all(wanted), p.fit.all(ribs[0]), p.fit.all(ribs[1])
	return p
}

// places is where the first rib has a characteristic, in paper millimetres: both ends of the tip line for
// tip-to-tip.
func (p pairPlan) places(id qc.CharID) []draw.Point {
	if id == qc.Tip {
		return p.fit.all([]draw.Point{p.tip(-1, p.half), p.tip(1, p.half)})
	}
	a := p.angle(id)
	return []draw.Point{p.fit.at(p.at(mirrored(a, p.turned), offsetAt(p.off, a)))}
}
