package picture

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/draw"
)

// Size of the study chart in millimetres: as wide as the text block of a page.
const (
	studyWide = 190.0
	studyHigh = 84.0
)

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
			lo, hi = min(lo, slices.Min(person)), max(hi, slices.Max(person))
		}
	}
	span := math.Max(hi-lo, 1e-3)
	f := studyFrame{Frame: draw.Frame{Drawing: &d, Left: 15, Right: studyWide - 34, Top: 11, Bottom: studyHigh - 12,
		Lo: lo - .08*span, Hi: hi + .08*span, Columns: len(s.Ribs)}, persons: len(s.Persons)}
	f.Axis("mm", 9)
	f.ribs(s.Ribs)
	f.limits(s.Char, span)
	ends := make([]studyEnd, len(s.Persons))
	for j, name := range s.Persons {
		var means []draw.Point
		for i := range s.Ribs {
			var sum float64
			for _, v := range all[i][j] {
				sum += v / float64(s.Repeats)
				f.Add(studyMark(j, draw.Point{X: f.at(i, j), Y: f.Y(v)})...)
			}
			means = append(means, draw.Point{X: f.at(i, j), Y: f.Y(sum)})
		}
		f.Add(draw.Polyline{Points: means, Style: personLine(j)})
		ends[j] = studyEnd{person: j, name: draw.Shorten(name, 16), y: means[len(means)-1].Y}
	}
	f.names(ends)
	return d
}

// personLine is the kind of line of a person; the marks tell persons apart as well.
func personLine(person int) draw.Style {
	dashes := [][]float64{nil, {2.4, 1}, {.5, .9}, {2.4, .9, .5, .9}, {4, 1.4}}
	return draw.Style{Stroke: .25, Dash: dashes[person%len(dashes)]}
}

type studyFrame struct {
	draw.Frame
	persons int
}

// at places the persons side by side in the middle 70 % of the rib's column.
func (f studyFrame) at(rib, person int) float64 {
	return f.Left + f.Pitch()*(float64(rib)+.15+.7*(float64(person)+.5)/float64(f.persons))
}

func (f studyFrame) ribs(names []string) {
	f.Add(draw.Line{A: draw.Point{X: f.Left, Y: f.Bottom}, B: draw.Point{X: f.Right, Y: f.Bottom}, Style: draw.Style{Stroke: .1}})
	for i, rib := range names {
		f.Write(f.X(i), f.Bottom+4, draw.Shorten(rib, max(2, int(f.Pitch()/2))), draw.Middle)
		if i > 0 {
			x := f.Left + f.Pitch()*float64(i)
			f.Add(draw.Line{A: draw.Point{X: x, Y: f.Top}, B: draw.Point{X: x, Y: f.Bottom + 1.5},
				Style: draw.Style{Stroke: .1, Dash: []float64{.4, 1.2}}})
		}
	}
	f.Write(f.Left-1.8, f.Bottom+4, "rib", draw.End)
}

// limits draws those that fall within the picture and says in words where the others are.
func (f studyFrame) limits(ch qc.Characteristic, span float64) {
	outside := ""
	for _, l := range []length.Length{ch.Upper, ch.Lower} {
		if v := l.MM(); v < f.Lo || v > f.Hi {
			outside = fmt.Sprintf("limits %s: %.1f times the spread shown", words.Limits(ch.Lower, ch.Upper), (ch.Upper-ch.Lower).MM()/span)
			continue
		}
		f.Level(l.MM(), draw.Style{Stroke: .45})
		f.Write(f.Left+1, f.Y(l.MM())-.9, limitText(l), draw.Start)
	}
	f.Write(f.Right, f.Bottom+9, outside, draw.End)
}

type studyEnd struct {
	person int
	name   string
	y      float64
}

// names writes each person's name at the end of the line, moved apart where they would touch.
func (f studyFrame) names(ends []studyEnd) {
	slices.SortStableFunc(ends, func(a, b studyEnd) int { return cmp.Compare(a.y, b.y) })
	const apart = 4.6
	for i := 1; i < len(ends); i++ {
		ends[i].y = math.Max(ends[i].y, ends[i-1].y+apart)
	}
	x := f.Right + 2.4
	for i, e := range ends {
		y := math.Min(e.y, f.Bottom-1-apart*float64(len(ends)-1-i))
		f.Add(draw.Line{A: draw.Point{X: x, Y: y}, B: draw.Point{X: x + 7, Y: y}, Style: personLine(e.person)})
		f.Add(studyMark(e.person, draw.Point{X: x + 3.5, Y: y})...)
		f.Write(x+8.4, y+1.1, e.name, draw.Start)
	}
}

// studyMark is the shape of a person's readings.
func studyMark(person int, at draw.Point) []draw.Item {
	x, y := at.X, at.Y
	switch person % 5 {
	case 0:
		return []draw.Item{draw.Dot(at, .9)}
	case 1:
		return []draw.Item{draw.Triangle(at, 1.4, 1, 1.3, .3)}
	case 2:
		return []draw.Item{draw.Rect{X: x - 1, Y: y - 1, W: 2, H: 2, Style: draw.Style{Stroke: .3, Fill: draw.Paper}}}
	case 3:
		return []draw.Item{draw.Diamond(at, 1.4)}
	}
	return []draw.Item{stroke(at, draw.Point{X: 1, Y: 1}, .35), stroke(at, draw.Point{X: 1, Y: -1}, .35)}
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
