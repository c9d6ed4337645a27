package arch

import "math"

// Point is a place on the bar: coordinates in mm with the turn of the bar there, rad.
type Point struct {
	X, Y    float64
	Heading float64
}

// walk goes along a constant curvature k for a length n from (x, y). X runs along the bar at heading
// zero, Y down from the crown: a positive curvature bends the bar towards positive Y. Exact, and smooth
// through k = 0.
func walk(x, y, heading, k, n float64) Point {
	half := k * n / 2
	chord := n * sinc(half)
	s, c := math.Sincos(heading + half)
	return Point{X: x + chord*c, Y: y + chord*s, Heading: heading + k*n}
}

// Segment is a stretch of bar with constant curvature. Kink is a sudden turn at its start, rad.
type Segment struct {
	Length    float64 // mm
	Curvature float64 // 1/mm, positive bends towards the inside of the arch
	Kink      float64
}

// Curve is a bar as a chain of segments from tip A to tip B. Its crown mark is at the middle of its length.
type Curve []Segment

// Check refuses a chain without length or with a value that cannot be.
func (c Curve) Check() error {
	total := 0.0
	for _, s := range c {
		if err := firstError(CheckNotNegative("segment_length_mm", s.Length),
			CheckFinite("curvature_per_mm", s.Curvature), CheckFinite("kink_rad", s.Kink)); err != nil {
			return err
		}
		if math.Abs(s.Curvature*s.Length) > 2*math.Pi*(1+1e-12) {
			return Refuse("out_of_range", "curvature_per_mm", "is %g over %g mm: more than a full turn", s.Curvature, s.Length)
		}
		total += s.Length
	}
	return CheckPositive("bar_length_mm", total)
}

// Curve writes a plain rib as a chain.
func (r Shape) Curve() Curve {
	return Curve{{Length: r.Leg}, {Length: r.Arc, Curvature: 1 / r.Radius}, {Length: r.Leg}}
}

// Length is the length of the bar, mm.
func (c Curve) Length() float64 {
	n := 0.0
	for _, s := range c {
		n += s.Length
	}
	return n
}

// At gives the place at a distance x from tip A along the bar, which starts at the origin with heading
// zero. Distances beyond an end give the end.
func (c Curve) At(x float64) Point {
	var p Point
	for _, s := range c {
		p = s.from(p, x)
		if x <= s.Length {
			return p
		}
		x -= s.Length
	}
	return p
}

// from goes along the segment from its start, at most to its end.
func (s Segment) from(p Point, x float64) Point {
	return walk(p.X, p.Y, p.Heading+s.Kink, s.Curvature, math.Min(math.Max(x, 0), s.Length))
}

// Placed is a curve laid with its tip line level: tip A at (-T/2, 0), tip B at (T/2, 0), crown up.
type Placed struct {
	Curve
	starts        []Point // of the segments, as Curve.At gives them: a place is then one step from its start
	tip, cos, sin float64
	turn          float64 // of the tip line, rad
}

// Place lays the curve on its tip line.
func (c Curve) Place() Placed {
	starts := make([]Point, len(c))
	var end Point
	for i, s := range c {
		starts[i] = end
		end = s.from(end, s.Length)
	}
	t := math.Hypot(end.X, end.Y)
	p := Placed{Curve: c, starts: starts, tip: t, cos: 1}
	if t > 0 {
		p.cos, p.sin = end.X/t, end.Y/t
	}
	// The crown stands above the tip line; where it would not, the legs have crossed and T is negative.
	if p.At(c.Length()/2).Y < 0 {
		p.tip, p.cos, p.sin = -p.tip, -p.cos, -p.sin
	}
	p.turn = math.Atan2(p.sin, p.cos)
	return p
}

// TipToTip of the placed curve, negative once the legs have crossed.
func (p Placed) TipToTip() float64 { return p.tip }

// CrownHeight is the height of the crown mark above the tip line.
func (p Placed) CrownHeight() float64 { return p.At(p.Length() / 2).Y }

// At gives the placed position at a distance x from tip A: X to the right, Y up from the tip line.
func (p Placed) At(x float64) Point {
	q := p.along(x)
	// Rotate the tip line level and turn Y up: the bar leaves tip A at a negative height in walk's sense.
	rx, ry := q.X*p.cos+q.Y*p.sin, -q.X*p.sin+q.Y*p.cos
	return Point{X: rx - p.tip/2, Y: -ry, Heading: p.turn - q.Heading}
}

// along is Curve.At in one step.
func (p Placed) along(x float64) Point {
	last := len(p.Curve) - 1
	for i, s := range p.Curve {
		if x <= s.Length || i == last {
			return s.from(p.starts[i], x)
		}
		x -= s.Length
	}
	return Point{}
}

// Normal is the unit vector away from the inside of the arch at a distance x from tip A.
func (p Placed) Normal(x float64) (nx, ny float64) {
	s, c := math.Sincos(p.At(x).Heading)
	return -s, c
}
