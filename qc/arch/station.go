package arch

import "fmt"

// Leg names a side of the rib. Leg A is the leg bent first.
type Leg byte

const (
	LegA Leg = 'A'
	LegB Leg = 'B'
)

// Station is a marked place on the arc where the offset from the target curve is measured.
type Station struct {
	Leg   Leg
	Index int     // from 1, counted from the leg towards the crown
	X     float64 // signed distance from the crown mark along the bar, mm; negative towards leg A
}

func (s Station) String() string { return fmt.Sprintf("%c%d", s.Leg, s.Index) }

// OffsetOf gives the offset that another curve, placed on the same crown mark and tip line, shows at a
// station of this target: where the target's normal meets the other curve near the same mark.
func (p Placed) OffsetOf(other Placed, s Station) float64 {
	at := p.Length()/2 + s.X
	q := p.At(at)
	nx, ny := p.Normal(at)
	// Walk along the other bar to the point on the normal: Newton on the distance along the tangent.
	x := other.Length()/2 + s.X
	for range 20 {
		o := other.At(x)
		along := (o.X-q.X)*ny - (o.Y-q.Y)*nx
		if along < 1e-9 && along > -1e-9 {
			break
		}
		x -= along
	}
	o := other.At(x)
	return (o.X-q.X)*nx + (o.Y-q.Y)*ny
}

// BuriedWidth gives the clear opening at the ground and the clear height when both tips are buried to
// the given depth (all mm, measured at right angles to the tip line): the inner distance between the
// two sides of the bar at ground level, centre to centre.
func (p Placed) BuriedWidth(depth float64) (width, clear float64, err error) {
	if err := CheckNotNegative("depth_mm", depth); err != nil {
		return 0, 0, err
	}
	h := p.CrownHeight()
	if depth >= h {
		return 0, 0, Refuse("out_of_range", "depth_mm", "is %g; the crown stands only %g above the tips", depth, h)
	}
	n := p.Length()
	cross := func(from float64, dir float64) float64 {
		// The bar rises from the tip; find where it comes through the ground for the last time before the crown.
		lo, hi := 0.0, n/2
		f := func(x float64) float64 { return p.At(from+dir*x).Y - depth }
		const steps = 400
		for i := steps - 1; i >= 0; i-- {
			x := n / 2 * float64(i) / steps
			if f(x) <= 0 {
				lo, hi = x, n/2*float64(i+1)/steps
				break
			}
		}
		return p.At(from + dir*zero(f, lo, hi)).X
	}
	return cross(n, -1) - cross(0, 1), h - depth, nil
}
