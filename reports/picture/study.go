package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
)

// Sizes of the study chart in millimetres.
const (
	studyWide  = 190.0 // the text block of a page
	studyHigh  = 84.0
	studyLeft  = 15.0
	studyRight = 34.0
	studyTop   = 11.0
	studyFoot  = 12.0
)

// dashes tell the persons' lines apart, together with the marks; a full line comes first.
var dashes = [...][]float64{nil, {2.4, 1}, {.5, .9}, {2.4, .9, .5, .9}, {4, 1.4}}

// Study shows every reading by rib and person: a column for each rib, the persons beside each other in
// it, a mark and a kind of line for each person, the line through the means. Limits are drawn where they fall
// within the picture.
func Study(s qc.Study, r qc.StudyResult) draw.Drawing {
	d := draw.Drawing{W: studyWide, H: studyHigh}
	d.Title = fmt.Sprintf("%s: gauge and persons together sd %s mm, ribs sd %s mm",
		words.Capital(s.Char.Label()), words.Digits2(r.SDGauge), words.Digits2(r.SDPart))
	d.Desc = "Every reading less the wanted value in millimetres, by rib and person. The table below holds the same numbers."
	all, _ := s.Deviations()
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, rib := range all {
		for _, person := range rib {
			for _, v := range person {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	span := math.Max(hi-lo, 1e-3)
	lo, hi = lo-.08*span, hi+.08*span
	c := studyFrame{d: &d, lo: lo, hi: hi, ribs: len(s.Ribs), persons: len(s.Persons)}
	c.axes(s)
	c.limits(s.Char, span)
	ends := make([]studyEnd, len(s.Persons))
	for j, name := range s.Persons {
		var means []draw.Point
		for i := range s.Ribs {
			var sum float64
			for _, v := range all[i][j] {
				sum += v / float64(s.Repeats)
				c.add(studyMark(j, draw.Point{X: c.x(i, j), Y: c.y(v)})...)
			}
			means = append(means, draw.Point{X: c.x(i, j), Y: c.y(sum)})
		}
		c.add(draw.Polyline{Points: means, Style: draw.Style{Stroke: .25, Dash: dashes[j%len(dashes)]}})
		ends[j] = studyEnd{person: j, name: draw.Shorten(name, 16), y: means[len(means)-1].Y}
	}
	c.names(ends)
	return d
}

type studyFrame struct {
	d             *draw.Drawing
	lo, hi        float64
	ribs, persons int
}

func (c studyFrame) add(items ...draw.Item) { c.d.Items = append(c.d.Items, items...) }

func (c studyFrame) right() float64 { return studyWide - studyRight }

func (c studyFrame) y(v float64) float64 {
	return studyHigh - studyFoot - (v-c.lo)/(c.hi-c.lo)*(studyHigh-studyFoot-studyTop)
}

func (c studyFrame) pitch() float64 { return (c.right() - studyLeft) / float64(c.ribs) }

// x places the persons side by side in the middle 70 % of the rib's column.
func (c studyFrame) x(rib, person int) float64 {
	return studyLeft + c.pitch()*(float64(rib)+.15+.7*(float64(person)+.5)/float64(c.persons))
}

func (c studyFrame) axes(s qc.Study) {
	bottom := studyHigh - studyFoot
	thin := draw.Style{Stroke: .1}
	c.add(draw.Text{At: draw.Point{Y: 3.6}, S: c.d.Title, Size: 10, Bold: true},
		draw.Text{At: draw.Point{Y: studyTop - 1.4}, S: "mm", Size: 8})
	for _, t := range draw.Ticks(c.lo, c.hi, 9, true) {
		c.add(draw.Line{A: draw.Point{X: studyLeft - 1.2, Y: c.y(t.At)}, B: draw.Point{X: studyLeft, Y: c.y(t.At)}, Style: thin},
			draw.Text{At: draw.Point{X: studyLeft - 1.8, Y: c.y(t.At) + 1}, S: t.Label, Size: 8, Anchor: draw.End})
	}
	c.add(draw.Line{A: draw.Point{X: studyLeft, Y: studyTop}, B: draw.Point{X: studyLeft, Y: bottom}, Style: thin},
		draw.Line{A: draw.Point{X: studyLeft, Y: bottom}, B: draw.Point{X: c.right(), Y: bottom}, Style: thin})
	for i, rib := range s.Ribs {
		at := studyLeft + c.pitch()*(float64(i)+.5)
		c.add(draw.Text{At: draw.Point{X: at, Y: bottom + 4}, S: draw.Shorten(rib, max(2, int(c.pitch()/2))), Size: 8, Anchor: draw.Middle})
		if i > 0 {
			x := studyLeft + c.pitch()*float64(i)
			c.add(draw.Line{A: draw.Point{X: x, Y: studyTop}, B: draw.Point{X: x, Y: bottom + 1.5},
				Style: draw.Style{Stroke: .1, Dash: []float64{.4, 1.2}}})
		}
	}
	c.add(draw.Text{At: draw.Point{X: studyLeft - 1.8, Y: bottom + 4}, S: "rib", Size: 8, Anchor: draw.End})
}

// limits draws those that fall within the picture and says in words where the others are.
func (c studyFrame) limits(ch qc.Characteristic, span float64) {
	outside := ""
	for _, l := range []struct {
		v    float64
		text string
	}{{ch.Upper.MM(), limitText(ch.Upper)}, {ch.Lower.MM(), limitText(ch.Lower)}} {
		if l.v < c.lo || l.v > c.hi {
			outside = fmt.Sprintf("limits %s: %.1f times the spread shown", words.Limits(ch.Lower, ch.Upper), (ch.Upper-ch.Lower).MM()/span)
			continue
		}
		c.add(draw.Line{A: draw.Point{X: studyLeft, Y: c.y(l.v)}, B: draw.Point{X: c.right(), Y: c.y(l.v)}, Style: draw.Style{Stroke: .45}},
			draw.Text{At: draw.Point{X: studyLeft + 1, Y: c.y(l.v) - .9}, S: l.text, Size: 8})
	}
	if outside != "" {
		c.add(draw.Text{At: draw.Point{X: c.right(), Y: studyHigh - studyFoot + 9}, S: outside, Size: 8, Anchor: draw.End})
	}
}

type studyEnd struct {
	person int
	name   string
	y      float64
}

// names writes each person's name at the end of the line, moved apart where they would touch.
func (c studyFrame) names(ends []studyEnd) {
	slices.SortStableFunc(ends, func(a, b studyEnd) int { return cmp.Compare(a.y, b.y) })
	const apart = 4.6
	for i := range ends {
		if i > 0 {
			ends[i].y = math.Max(ends[i].y, ends[i-1].y+apart)
		}
	}
	if n := len(ends) - 1; n >= 0 {
		for i := n; i >= 0; i-- {
			ends[i].y = math.Min(ends[i].y, studyHigh-studyFoot-1-apart*float64(n-i))
		}
	}
	x := c.right() + 2.4
	for _, e := range ends {
		c.add(draw.Line{A: draw.Point{X: x, Y: e.y}, B: draw.Point{X: x + 7, Y: e.y},
			Style: draw.Style{Stroke: .25, Dash: dashes[e.person%len(dashes)]}})
		c.add(studyMark(e.person, draw.Point{X: x + 3.5, Y: e.y})...)
		c.add(draw.Text{At: draw.Point{X: x + 8.4, Y: e.y + 1.1}, S: e.name, Size: 8})
	}
}

// studyMark is the shape of a person's readings.
func studyMark(person int, at draw.Point) []draw.Item {
	open := draw.Style{Stroke: .3, Fill: draw.Paper}
	x, y := at.X, at.Y
	switch person % 5 {
	case 0:
		return []draw.Item{draw.Circle{C: at, R: .9, Style: draw.Style{Fill: draw.Ink}}}
	case 1:
		return []draw.Item{draw.Polygon{Points: []draw.Point{{X: x, Y: y - 1.4}, {X: x + 1.3, Y: y + 1}, {X: x - 1.3, Y: y + 1}}, Style: open}}
	case 2:
		return []draw.Item{draw.Rect{X: x - 1, Y: y - 1, W: 2, H: 2, Style: open}}
	case 3:
		diamond := []draw.Point{{X: x, Y: y - 1.4}, {X: x + 1.4, Y: y}, {X: x, Y: y + 1.4}, {X: x - 1.4, Y: y}}
		return []draw.Item{draw.Polygon{Points: diamond, Style: draw.Style{Fill: draw.Ink}}}
	}
	cross := draw.Style{Stroke: .35}
	return []draw.Item{
		draw.Line{A: draw.Point{X: x - 1, Y: y - 1}, B: draw.Point{X: x + 1, Y: y + 1}, Style: cross},
		draw.Line{A: draw.Point{X: x - 1, Y: y + 1}, B: draw.Point{X: x + 1, Y: y - 1}, Style: cross},
	}
}

// StudyOf is the chart of a study of the batch by its name, once all its readings are taken.
func StudyOf(b qc.Batch, id string) (draw.Drawing, error) {
	for _, s := range b.Studies {
		if s.ID != id {
			continue
		}
		g, _ := b.Gauge(s.Gauge)
		r, err := s.Result(g)
		if err != nil {
			return draw.Drawing{}, err
		}
		return Study(s, r), nil
	}
	return draw.Drawing{}, fmt.Errorf("draw gauge study %q: batch %q has none of that name", id, b.ID)
}
