package draw

import "math"

// Bar is one bar of a list.
type Bar struct {
	Name  string
	Value float64 // not below zero
	Text  string  // the value with its unit, stands at the right edge
	Fill  Fill    // Ink where none is given; Stripes for what is not like the others
	Arrow bool    // ends in an arrow: works one way only
}

// Bars lays bars of one unit below each other, the name of each and its value above it, so that they fit a
// narrow screen too.
type Bars struct {
	W     float64
	Title string // may be empty
	Bars  []Bar
}

const barPitch = 9.6

// Drawing lays the bars out on one scale.
func (b Bars) Drawing() Drawing {
	top := .5
	d := Drawing{W: b.W, Title: b.Title}
	add := func(items ...Item) { d.Items = append(d.Items, items...) }
	if b.Title != "" {
		add(Text{At: Point{0, 3.6}, S: b.Title, Size: 10, Bold: true})
		top = 6
	}
	most := 0.0
	for _, bar := range b.Bars {
		most = math.Max(most, bar.Value)
	}
	if most <= 0 {
		most = 1
	}
	scale := (b.W - 4) / most
	for i, bar := range b.Bars {
		y := top + barPitch*float64(i)
		w := math.Max(bar.Value*scale, .3)
		fill := bar.Fill
		if fill == NoFill {
			fill = Ink
		}
		add(Text{At: Point{0, y + 3}, S: bar.Name, Size: 8.5}, Text{At: Point{b.W, y + 3}, S: bar.Text, Size: 8.5, Bold: true, Anchor: End})
		add(Rect{X: .2, Y: y + 4.2, W: w, H: 3.6, Style: Style{Stroke: .3, Fill: fill}})
		if bar.Arrow {
			end := .2 + w
			add(Polygon{Points: []Point{{end, y + 3.7}, {end + 2.6, y + 6}, {end, y + 8.3}}, Style: Style{Stroke: .3, Fill: Paper}})
		}
	}
	d.H = top + barPitch*float64(len(b.Bars)) - .8
	return d
}
