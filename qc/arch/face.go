package arch

import "math"

// Face says where on the bar a length was taken: on its centreline, on the side towards the arc's
// centre (inside) or on the side away from it (outside).
type Face int

const (
	Centre Face = iota
	Inside
	Outside
)

func (f Face) String() string {
	switch f {
	case Inside:
		return "inside"
	case Outside:
		return "outside"
	default:
		return "centre"
	}
}

// side is -1 inside, 0 at the centre, +1 outside.
func (f Face) side() float64 {
	switch f {
	case Inside:
		return -1
	case Outside:
		return 1
	default:
		return 0
	}
}

// TipAt converts a centre tip-to-tip to the given face of square-cut ends: T +- d sin phi.
func TipAt(f Face, centre, diameter, halfAngle float64) float64 {
	return centre + f.side()*diameter*math.Sin(halfAngle)
}

// TipFrom converts a tip-to-tip taken at a face to the centre.
func TipFrom(f Face, measured, diameter, halfAngle float64) float64 {
	return measured - f.side()*diameter*math.Sin(halfAngle)
}

// RadiusAt converts a centreline radius to a face: R +- d/2.
func RadiusAt(f Face, centre, diameter float64) float64 { return centre + f.side()*diameter/2 }

// radiusFrom converts a radius taken at a face to the centreline.
func radiusFrom(f Face, measured, diameter float64) float64 { return measured - f.side()*diameter/2 }

// Foot says what a crown height was measured from.
type Foot int

const (
	EndCentres   Foot = iota // the line through the centres of the two end faces
	InnerCorners             // the corners on the side of the arc's centre
	OuterCorners             // the corners on the far side
	Floor                    // whatever the tips stand on: the lower of the two corners
)

// rise is how far the foot lies below the end centres, in mm.
func (f Foot) rise(diameter, halfAngle float64) float64 {
	c := diameter / 2 * math.Cos(halfAngle)
	switch f {
	case InnerCorners:
		return c
	case OuterCorners:
		return -c
	case Floor:
		return math.Abs(c)
	default:
		return 0
	}
}

// CrownAt converts a centre crown height to one measured from foot to the given face of the crown.
func CrownAt(top Face, foot Foot, centre, diameter, halfAngle float64) float64 {
	return centre + top.side()*diameter/2 + foot.rise(diameter, halfAngle)
}

// CrownFrom converts a crown height measured from foot to a face of the crown into the centre height.
func CrownFrom(top Face, foot Foot, measured, diameter, halfAngle float64) float64 {
	return measured - top.side()*diameter/2 - foot.rise(diameter, halfAngle)
}
