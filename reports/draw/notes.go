package draw

import "math"

// noteDigit is about the width of a bold figure of the chart's size, in millimetres.
const noteDigit = 1.8

// notes places the notes of the points where they hide least: beside, above or below their point, off
// the other points, the limits, the lines between groups and the notes placed before.
func (c Chart) notes(f Frame, room Rect) []Item {
	x, y, lo, hi := f.X, f.Y, f.Lo, f.Hi
	var busy []Rect
	for _, l := range []float64{c.Lower, c.Upper} {
		busy = append(busy, Rect{X: room.X, Y: y(l) - .3, W: room.W, H: .6})
	}
	for i, p := range c.Points {
		if i > 0 && p.Group != c.Points[i-1].Group {
			busy = append(busy, Rect{X: (x(i) + x(i-1)) / 2, Y: room.Y, W: .2, H: room.H})
		}
		v := math.Max(lo, math.Min(hi, p.Y))
		top, bottom := y(math.Min(hi, v+p.Half)), y(math.Max(lo, v-p.Half))
		busy = append(busy, Rect{X: x(i) - 1.2, Y: math.Min(top, y(v)-1.3), W: 2.4, H: math.Max(bottom, y(v)+1.3) - math.Min(top, y(v)-1.3)})
	}
	var items []Item
	for i, p := range c.Points {
		if p.Note == "" || p.Mark == MarkOpen {
			continue
		}
		const h = 2.6
		w := noteDigit * float64(len([]rune(p.Note)))
		v := math.Max(lo, math.Min(hi, p.Y))
		at := Point{x(i), y(v)}
		best, least := Rect{}, math.Inf(1)
		for k, q := range []Point{{1.8, -h / 2}, {-1.8 - w, -h / 2}, {-w / 2, -2 - h}, {-w / 2, 2}, {1.2, 1.4}, {1.2, -1.4 - h}, {-1.2 - w, 1.4},
			{-1.2 - w, -1.4 - h}, {-w / 2, 4}, {-w / 2, -4 - h}, {-w / 2, 6}, {-w / 2, -6 - h}} {
			box := Rect{X: at.X + q.X, Y: at.Y + q.Y, W: w, H: h}
			cost := .001*float64(k) + 4*(w*h-overlap(box, room))
			for _, b := range busy {
				cost += overlap(box, b)
			}
			if cost < least {
				best, least = box, cost
			}
		}
		busy = append(busy, best)
		items = append(items, Text{At: Point{best.X + w/2, best.Y + h - .5}, S: p.Note, Size: chartText, Bold: true, Anchor: Middle})
	}
	return items
}

// overlap is the area that two rectangles share.
func overlap(a, b Rect) float64 {
	w := math.Min(a.X+a.W, b.X+b.W) - math.Max(a.X, b.X)
	h := math.Min(a.Y+a.H, b.Y+b.H) - math.Max(a.Y, b.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}
