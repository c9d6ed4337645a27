package draw

import "math"

// Sign is a shape that tells a verdict without colour.
type Sign int

// The signs. They differ in outline and in filling, so that a 1-bit copy keeps them apart.
const (
	NoSign       Sign = iota
	DiscTick          // solid disc with a white tick
	StripedOct        // octagon with stripes
	DottedTri         // triangle with dots
	DiamondCross      // solid diamond with a white cross
	HollowSquare      // empty square with a question mark
)

// Items draws the sign about c with half-height r.
func (s Sign) Items(c Point, r float64) []Item {
	at := func(x, y float64) Point { return Point{c.X + x*r, c.Y + y*r} }
	line := Style{Stroke: 0.13 * r}
	switch s {
	case DiscTick:
		return []Item{
			Circle{C: c, R: r, Style: Style{Fill: Ink}},
			Polygon{Points: []Point{at(-.62, .02), at(-.42, -.2), at(-.14, .1), at(.42, -.52), at(.64, -.3), at(-.14, .56)},
				Style: Style{Fill: Paper}},
		}
	case StripedOct:
		var ps []Point
		for i := range 8 {
			sin, cos := math.Sincos((float64(i) + .5) * math.Pi / 4)
			ps = append(ps, at(1.08*cos, 1.08*sin))
		}
		line.Fill = Stripes
		return []Item{Polygon{Points: ps, Style: line}}
	case DottedTri:
		line.Fill = Dots
		return []Item{Polygon{Points: []Point{at(0, -1), at(1.1, .9), at(-1.1, .9)}, Style: line}}
	case DiamondCross:
		return []Item{
			Polygon{Points: []Point{at(0, -1.15), at(1.15, 0), at(0, 1.15), at(-1.15, 0)}, Style: Style{Fill: Ink}},
			Polygon{Points: cross(c, r), Style: Style{Fill: Paper}},
		}
	case HollowSquare:
		return []Item{
			Rect{X: c.X - .9*r, Y: c.Y - .9*r, W: 1.8 * r, H: 1.8 * r, Style: Style{Stroke: .13 * r, Fill: Paper}},
			Arc{C: at(0, -.2), R: .33 * r, From: 180, To: 405, Style: Style{Stroke: .17 * r}},
			Line{A: at(.233, .033), B: at(0, .3), Style: Style{Stroke: .17 * r}},
			Circle{C: at(0, .58), R: .12 * r, Style: Style{Fill: Ink}},
		}
	}
	return nil
}

// cross is the outline of an upright cross turned by 45 degrees.
func cross(c Point, r float64) []Point {
	const long, thick = .62, .13
	plain := [][2]float64{{-thick, -long}, {thick, -long}, {thick, -thick}, {long, -thick}, {long, thick}, {thick, thick},
		{thick, long}, {-thick, long}, {-thick, thick}, {-long, thick}, {-long, -thick}, {-thick, -thick}}
	out := make([]Point, len(plain))
	for i, p := range plain {
		out[i] = Point{c.X + r*(p[0]-p[1])*math.Sqrt2/2, c.Y + r*(p[0]+p[1])*math.Sqrt2/2}
	}
	return out
}
