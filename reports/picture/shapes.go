package picture

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// Shapes draws the mean rib and the first ribs that need a hand over the target curve, with the factor by
// which deviations are enlarged; the width is in mm. It needs stations to draw from.
func Shapes(b qc.Judged, width float64) (d draw.Drawing, times int, ok bool) {
	if len(b.Target.Stations) == 0 {
		return d, 0, false
	}
	var figs []figure
	if mean, n := meanShape(b); n > 0 {
		figs = append(figs, figure{name: "Mean of " + words.Count(n, "rib", "ribs"), dev: mean})
	}
	for _, r := range b.ByNeed {
		if len(figs) == 4 || r.Verdict.Word == qc.Pass {
			break
		}
		if dev, ok := shapeOf(b, r); ok {
			figs = append(figs, figure{name: draw.Shorten(r.ID, 24), word: r.Verdict.Word, dev: dev})
		}
	}
	if len(figs) == 0 {
		return d, 0, false
	}
	const high, gap = 66.0, 4.0
	times = enlarge(worstOf(figs), shapeRoom)
	d = draw.Drawing{
		W: width, H: high * float64((len(figs)+1)/2), Title: "Shape of ribs over the target",
		Desc: fmt.Sprintf("%d ribs over the target curve, deviations enlarged %d times", len(figs), times),
	}
	half := (width - gap) / 2
	for i, f := range figs {
		d.Items = append(d.Items, draw.Group{
			Move:  draw.Point{X: float64(i%2) * (half + gap), Y: float64(i/2) * high},
			Items: f.items(newRibLine(b.Target), float64(times), half, high-gap),
		})
	}
	return d, times, true
}

// shapeRoom is how far off the target a rib is drawn at most, mm: about a tenth of its size.
const shapeRoom = 260

// figure is one rib's deviations in millimetres by characteristic.
type figure struct {
	name string
	word qc.Word
	dev  map[qc.CharID]float64
}

// worstOf is the largest deviation of all.
func worstOf(figs []figure) float64 {
	worst := leastWorst
	for _, f := range figs {
		for _, v := range f.dev {
			worst = math.Max(worst, math.Abs(v))
		}
	}
	return worst
}

// shapeOf needs every station; a missing tip counts as on target, for the drawing only.
func shapeOf(b qc.Judged, r qc.JudgedRib) (map[qc.CharID]float64, bool) {
	dev := map[qc.CharID]float64{}
	for _, j := range r.Verdict.Chars {
		if j.Measured {
			dev[j.Char.ID] = j.Dev.Dev.MM()
		}
	}
	for _, s := range b.Target.Stations {
		if _, ok := dev[s.ID]; !ok {
			return nil, false
		}
	}
	return dev, true
}

func meanShape(b qc.Judged) (map[qc.CharID]float64, int) {
	sum, n := map[qc.CharID]float64{}, 0
	for _, r := range b.InOrder {
		dev, ok := shapeOf(b, r)
		if !ok || r.Verdict.Word == qc.Open {
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

// items draws the figure into a box.
func (f figure) items(l ribLine, times, width, height float64) []draw.Item {
	const head = 6.5
	ps, half := l.offsets(f.dev, times), f.dev[qc.Tip]/2*times
	wanted, bent := l.line(nil, 0, false), l.line(ps, half, false)
	fit := newFit(append(append([]draw.Point{}, wanted...), bent...), 0, head, width, height-head-3)
	items := []draw.Item{
		draw.Polyline{Points: fit.all(wanted), Style: draw.Style{Stroke: .15}},
		draw.Polyline{Points: fit.all(bent), Style: draw.Style{Stroke: .55}},
	}
	dot := func(p draw.Point) { items = append(items, draw.Dot(fit.at(p), .8)) }
	for _, p := range ps {
		dot(l.at(p.angle, p.by))
	}
	dot(l.tip(-1, half))
	dot(l.tip(1, half))
	x, name := 0.0, f.name
	if f.word != "" {
		items = append(items, SignOf(f.word).Items(draw.Point{X: 2.6, Y: 2.6}, 2)...)
		x, name = 6.4, name+" · "+string(f.word)
	}
	return append(items, draw.Text{At: draw.Point{X: x, Y: 4}, S: name, Size: 10, Bold: true})
}
