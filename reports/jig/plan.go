package jig

import (
	"fmt"
	"math"

	"springline/qc/bend"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/typeset"
)

// The first page's room for plan and numbers, and what is left free around it for the datum edges' figures.
const (
	planPage  = 232.0
	planLeft  = 13.0
	planBelow = 21.0
)

// planScales are the scales a plan may have, 1 : n.
var planScales = []int{2, 5, 8, 10, 12, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500, 1000, 2000, 5000, 10000}

// paper maps jig millimetres, Y up, onto the sheet, Y down.
type paper struct {
	x, y  float64 // where the jig's 0, 0 lies on paper
	scale float64
}

func (m paper) at(p [2]float64) draw.Point {
	return draw.Point{X: m.x + p[0]/m.scale, Y: m.y - p[1]/m.scale}
}

// plan draws the jig to scale from its datum corner.
func (s Sheet) plan(faces draw.Faces, height float64) draw.Drawing {
	p := s.Plan
	room := math.Max(p.Room, 50) / 2
	lo := [2]float64{math.Min(0, p.Lo[0]-room), math.Min(0, p.Lo[1]-room)}
	hi := [2]float64{math.Max(0, p.Hi[0]) + room, math.Max(0, p.Hi[1]) + room}
	scale := planScales[len(planScales)-1]
	for _, n := range planScales {
		if (hi[0]-lo[0])/float64(n) <= typeset.Width-planLeft-14 && (hi[1]-lo[1])/float64(n) <= height-planBelow {
			scale = n
			break
		}
	}
	k := float64(scale)
	m := paper{x: planLeft - lo[0]/k + math.Max(0, (typeset.Width-planLeft-(hi[0]-lo[0])/k)/2-4), y: height - planBelow + lo[1]/k, scale: k}
	// What the height leaves over is cut off above.
	top := m.at(hi).Y - 5
	d := draw.Drawing{W: typeset.Width, H: height - top, Title: "Plan of the jig",
		Desc: fmt.Sprintf("%d blocks on a face radius of %.1f mm, from a datum corner, at 1 to %d", len(p.Contacts), p.Face, scale)}
	var items []draw.Item
	add := func(more ...draw.Item) { items = append(items, more...) }
	add(s.datum(m, lo, hi)...)
	add(s.diagonals(m, faces)...)
	add(s.bar(m)...)
	add(s.blocks(m)...)
	add(s.centre(m, faces)...)
	add(checkBar(scale, height-5)...)
	d.Items = []draw.Item{draw.Group{Move: draw.Point{Y: -top}, Items: items}}
	return d
}

// datum draws both edges with a figure every so many millimetres.
func (s Sheet) datum(m paper, lo, hi [2]float64) []draw.Item {
	heavy, thin := draw.Style{Stroke: .9}, draw.Style{Stroke: .25}
	items := []draw.Item{
		draw.Line{A: m.at([2]float64{lo[0], 0}), B: m.at([2]float64{hi[0], 0}), Style: heavy},
		draw.Line{A: m.at([2]float64{0, lo[1]}), B: m.at([2]float64{0, hi[1]}), Style: heavy},
	}
	step := 100.0
	for step/m.scale < 16 {
		switch step {
		case 200, 2000, 20000:
			step *= 2.5
		default:
			step *= 2
		}
	}
	for x := math.Ceil(lo[0]/step) * step; x <= hi[0]; x += step {
		q := m.at([2]float64{x, 0})
		items = append(items, draw.Line{A: q, B: draw.Point{X: q.X, Y: q.Y + 1.8}, Style: thin})
		if x != 0 {
			items = append(items, draw.Text{At: draw.Point{X: q.X, Y: q.Y + 5.4}, S: words.Decimals(x, 0), Size: 9.5, Anchor: draw.Middle})
		}
	}
	for y := math.Ceil(lo[1]/step) * step; y <= hi[1]; y += step {
		q := m.at([2]float64{0, y})
		items = append(items, draw.Line{A: q, B: draw.Point{X: q.X - 1.8, Y: q.Y}, Style: thin})
		if y != 0 {
			items = append(items, draw.Text{At: draw.Point{X: q.X - 2.4, Y: q.Y + 1.2}, S: words.Decimals(y, 0), Size: 9.5, Anchor: draw.End})
		}
	}
	o := m.at([2]float64{0, 0})
	return append(items,
		draw.Circle{C: o, R: 1.7, Style: draw.Style{Fill: draw.Ink}},
		bold(o.X-12, o.Y+5.6, "datum 0, 0", 10, draw.Start),
		bold(m.at(hi).X+1.5, o.Y+1.5, "X mm", 12.5, draw.Start),
		bold(o.X+1.8, m.at(hi).Y+4, "Y mm", 12.5, draw.Start))
}

// bar draws the bar as it lies on the jig, with the keepers of its legs and the letters of its tips.
func (s Sheet) bar(m paper) []draw.Item {
	p := s.Plan
	var line []draw.Point
	sin, cos := math.Sincos(p.HalfAngle)
	tip := func(side float64) [2]float64 {
		return [2]float64{p.Centre[0] + side*(p.CentreRadius*sin+p.Leg*cos), p.Centre[1] + p.CentreRadius*cos - p.Leg*sin}
	}
	if !p.Half {
		line = append(line, m.at(tip(-1)))
	}
	const n = 180
	for i := range n + 1 {
		a := p.HalfAngle * (2*float64(i)/n - 1)
		sa, ca := math.Sincos(a)
		line = append(line, m.at([2]float64{p.Centre[0] + p.CentreRadius*sa, p.Centre[1] + p.CentreRadius*ca}))
	}
	line = append(line, m.at(tip(1)))
	items := []draw.Item{draw.Polyline{Points: line, Style: draw.Style{Stroke: math.Max(.8, p.Diameter/m.scale)}}}
	peg := math.Max(.9, 10/m.scale)
	for _, c := range p.Channels {
		side := 1.0
		if c.Leg == 'A' {
			side = -1
		}
		for i := range c.Keepers {
			in, out := m.at(c.Keepers[i]), m.at(c.Outer[i])
			// Pegs touch the channel from outside of it: the drawing moves them off the bar by their radius.
			nx, ny := side*sin, -cos
			items = append(items,
				draw.Circle{C: draw.Point{X: in.X - nx*(peg+.2), Y: in.Y - ny*(peg+.2)}, R: peg, Style: draw.Style{Stroke: .4, Fill: draw.Paper}},
				draw.Circle{C: draw.Point{X: out.X + nx*(peg+.2), Y: out.Y + ny*(peg+.2)}, R: peg, Style: draw.Style{Stroke: .4, Fill: draw.Paper}})
			items = append(items,
				bold(in.X-nx*(2*peg+3), in.Y-ny*(2*peg+3)+1.3, fmt.Sprintf("%c%d", c.Leg, i+1), 9.5, draw.Middle),
				bold(out.X+nx*(2*peg+3), out.Y+ny*(2*peg+3)+1.3, fmt.Sprintf("%c%d", c.Leg, i+3), 9.5, draw.Middle))
		}
	}
	for i, name := range []string{"A", "B"} {
		if p.Half && i == 0 {
			continue
		}
		side := float64(2*i - 1)
		if p.Half {
			name = "tip"
		}
		q := m.at(tip(side))
		items = append(items, bold(q.X+side*cos*4, q.Y+sin*4+1.8, name, 14, draw.Middle))
	}
	if p.Half {
		return append(items, s.middle(m)...)
	}
	top := m.at([2]float64{p.Centre[0], p.Centre[1] + p.Face + p.Diameter})
	items = append(items,
		draw.Line{A: draw.Point{X: top.X, Y: top.Y - 2.6}, B: draw.Point{X: top.X, Y: top.Y + .4}, Style: draw.Style{Stroke: .6}},
		bold(top.X+1.5, top.Y-1.4, "crown: middle of the bar", 10, draw.Start))
	if c := p.Crossing; c != nil {
		q := m.at(*c)
		items = append(items,
			draw.Circle{C: q, R: 4, Style: draw.Style{Stroke: .7}},
			bold(q.X, q.Y+15, "LEGS CROSS", 11, draw.Middle),
			draw.Line{A: draw.Point{X: q.X, Y: q.Y + 4}, B: draw.Point{X: q.X, Y: q.Y + 11}, Style: draw.Style{Stroke: .35}})
	}
	return items
}

// middle marks the middle of the bar at the first block of a jig for one half, and the rest of the bar
// as it comes in there.
func (s Sheet) middle(m paper) []draw.Item {
	p := s.Plan
	sin, cos := math.Sincos(p.HalfAngle)
	on := func(radius, out float64) draw.Point {
		return m.at([2]float64{p.Centre[0] - radius*sin - out*cos, p.Centre[1] + radius*cos - out*sin})
	}
	root, end, word := on(p.CentreRadius, 0), on(p.CentreRadius, bend.Stub), on(p.CentreRadius, bend.Stub*.6)
	return []draw.Item{
		draw.Line{A: root, B: end, Style: draw.Style{Stroke: .8, Dash: []float64{2.4, 1.6}}},
		draw.Line{A: on(p.Face+p.Diameter, 0), B: on(p.Face+p.Diameter+3*m.scale, 0), Style: draw.Style{Stroke: .6}},
		bold(word.X+3, word.Y, "middle of the bar at block 1", 10, draw.Start),
	}
}

// blocks draws every block inside the bar with its contact point and its number.
func (s Sheet) blocks(m paper) []draw.Item {
	p := s.Plan
	n := len(p.Contacts)
	var items []draw.Item
	every := 1
	for float64(every)*p.Chord/m.scale < 5.2 && every < n {
		every = map[int]int{1: 2, 2: 5, 5: 10, 10: 20, 20: 50, 50: 100, 100: 1000, 1000: n}[every]
	}
	depth := math.Min(50, p.Face/3) / m.scale
	half := math.Min(20, p.Chord*.32) / m.scale
	for i, c := range p.Contacts {
		dx, dy := (c[0]-p.Centre[0])/p.Face, -(c[1]-p.Centre[1])/p.Face
		q := m.at(c)
		at := func(in, along float64) draw.Point {
			return draw.Point{X: q.X - dx*in - dy*along, Y: q.Y - dy*in + dx*along}
		}
		items = append(items,
			draw.Polygon{Points: []draw.Point{at(0, -half), at(0, half), at(depth, half), at(depth, -half)},
				Style: draw.Style{Stroke: .35, Fill: draw.Paper}},
			draw.Circle{C: q, R: .75, Style: draw.Style{Fill: draw.Ink}})
		if i == 0 || i == n-1 || (i%every == every-1 && n-1-i >= every && i >= every) || (every == 1) {
			in := depth + 3
			size := 10.5
			if every == 1 && p.Chord/m.scale < 7 {
				size = 9
			}
			items = append(items, bold(q.X-dx*in, q.Y-dy*in+1.4, fmt.Sprint(i+1), size, draw.Middle))
		}
	}
	return items
}

// diagonals draws the straight lines that the jig is checked by.
func (s Sheet) diagonals(m paper, faces draw.Faces) []draw.Item {
	p := s.Plan
	n := len(p.Contacts)
	dash := draw.Style{Stroke: .25, Dash: []float64{2.4, 1.4}}
	first, last := m.at(p.Contacts[0]), m.at(p.Contacts[n-1])
	crown := m.at([2]float64{p.Centre[0], p.Centre[1] + p.Face})
	items := []draw.Item{
		draw.Line{A: first, B: last, Style: dash},
		draw.Line{A: first, B: crown, Style: dash},
		draw.Line{A: last, B: crown, Style: dash},
	}
	items = append(items, along(faces, first, crown, .36, one(p.CrownChord[0]))...) // the other is its mirror image
	share := .5
	if math.Abs(first.Y-m.at(p.Centre).Y) < 9 {
		share = .24 // clear of the centre and its name
	}
	return append(items, along(faces, first, last, share, one(p.EndChord))...)
}

// along writes a figure onto a line, on paper of its own, where the line is long enough for it.
func along(faces draw.Faces, a, b draw.Point, share float64, text string) []draw.Item {
	const size = 10.0
	w := faces.Width(text, size, true) + 2
	long := math.Hypot(b.X-a.X, b.Y-a.Y)
	if long < w+6 {
		return nil
	}
	turn := math.Atan2(b.Y-a.Y, b.X-a.X)
	if turn > math.Pi/2 {
		turn -= math.Pi
	}
	if turn <= -math.Pi/2 {
		turn += math.Pi
	}
	c := draw.Point{X: a.X + share*(b.X-a.X), Y: a.Y + share*(b.Y-a.Y)}
	return []draw.Item{draw.Group{Move: c, Turn: turn * 180 / math.Pi, Items: []draw.Item{
		draw.Rect{X: -w / 2, Y: -2, W: w, H: 4, Style: draw.Style{Fill: draw.Paper}},
		draw.Text{At: draw.Point{Y: 1.3}, S: text, Size: size, Bold: true, Anchor: draw.Middle},
	}}}
}

// centre marks the arc's centre, its distances from both edges and the radius to the faces.
func (s Sheet) centre(m paper, faces draw.Faces) []draw.Item {
	p := s.Plan
	c, thin := m.at(p.Centre), draw.Style{Stroke: .25, Dash: []float64{.8, 1.2}}
	foot, left := m.at([2]float64{p.Centre[0], 0}), m.at([2]float64{0, p.Centre[1]})
	items := []draw.Item{
		draw.Line{A: c, B: foot, Style: thin}, draw.Line{A: c, B: left, Style: thin},
		draw.Line{A: draw.Point{X: c.X - 3, Y: c.Y}, B: draw.Point{X: c.X + 3, Y: c.Y}, Style: draw.Style{Stroke: .5}},
		draw.Line{A: draw.Point{X: c.X, Y: c.Y - 3}, B: draw.Point{X: c.X, Y: c.Y + 3}, Style: draw.Style{Stroke: .5}},
	}
	name := fmt.Sprintf("X %.0f, Y %.0f", p.Centre[0], p.Centre[1])
	w := faces.Width(name, 10, true) + 2
	items = append(items,
		draw.Rect{X: c.X + 2.5, Y: c.Y + 2.6, W: w, H: 4.6, Style: draw.Style{Fill: draw.Paper}},
		bold(c.X+3.5, c.Y+6.2, name, 10, draw.Start))
	// The radius goes to a block near two o'clock, where neither diagonal nor centre line runs.
	n := len(p.Contacts)
	off := func(i int) float64 {
		return math.Abs(math.Atan2(p.Contacts[i][0]-p.Centre[0], p.Contacts[i][1]-p.Centre[1]) - 1.15)
	}
	best := n - 1
	for i := range n {
		if off(i) < off(best) {
			best = i
		}
	}
	q := m.at(p.Contacts[best])
	items = append(items, draw.Line{A: c, B: q, Style: draw.Style{Stroke: .35}})
	return append(items, along(faces, c, q, .5, "face R "+one(p.Face))...)
}

// checkBar is a bar of 100 mm on paper that tells whether the printer kept the size.
func checkBar(scale int, y float64) []draw.Item {
	x := typeset.Width - 102.0
	heavy := draw.Style{Stroke: .7}
	items := []draw.Item{
		bold(x-3, y+1.5, fmt.Sprintf("Scale 1 : %d   on paper 100 "+
			"mm:", scale), 10.5, draw.End),
		draw.Line{A: draw.Point{X: x, Y: y}, B: draw.Point{X: x + 100, Y: y}, Style: heavy},
	}
	for i := 0; i <= 10; i++ {
		h := 1.6
		if i%5 == 0 {
			h = 3
		}
		at := x + float64(i)*10
		items = append(items, draw.Line{A: draw.Point{X: at, Y: y - h}, B: draw.Point{X: at, Y: y + h}, Style: draw.Style{Stroke: .35}})
	}
	return items
}

// bold is a name or a figure in the plan.
func bold(x, y float64, text string, size float64, anchor draw.Anchor) draw.Text {
	return draw.Text{At: draw.Point{X: x, Y: y}, S: text, Size: size, Bold: true, Anchor: anchor}
}
