package bend

import (
	"fmt"
	"math"

	"springline/qc/arch"
)

// Layout is a jig of blocks on an arc, crown up: where the bar touches each block, from a datum edge.
type Layout struct {
	Contacts   [][2]float64 // X, Y of the contact points, mm, from the first leg's side to the other
	Chord      float64      // between neighbouring contacts
	Sagitta    float64      // of the bar over one gap, if the bar ran along the circle
	EndChord   float64      // check diagonal from the first to the last contact
	CrownChord []float64    // check diagonals from the top of the arc to each contact
	Angle      float64      // arc angle, rad
	Warnings   []string
}

// LayOut spreads blocks evenly over an arc of the given length on the face: c = 2 R sin(A/(2(n-1))), contact
// i at centre + R (sin t, cos t), t = -A/2 + i A/(n-1). leg may be 0 when unknown; it is used for the
// warning that the legs cross on the jig. diameter may be 0 when unknown.
func LayOut(faceRadius, arc float64, blocks int, centreX, centreY, leg, diameter float64) (Layout, error) {
	for _, err := range []error{arch.CheckPositive("face_radius_mm", faceRadius), arch.CheckPositive("arc_mm", arc),
		arch.CheckFinite("centre_x_mm", centreX), arch.CheckFinite("centre_y_mm", centreY),
		arch.CheckNotNegative("leg_mm", leg), arch.CheckNotNegative("diameter_mm", diameter)} {
		if err != nil {
			return Layout{}, err
		}
	}
	if blocks < 2 || blocks > 10000 {
		return Layout{}, arch.Refuse("out_of_range", "blocks", "is %d; a jig has 2 blocks or more, and fewer than 10 000", blocks)
	}
	l := Layout{Angle: arc / faceRadius}
	if l.Angle > 2*math.Pi*(1+1e-12) {
		return Layout{}, arch.Refuse("out_of_range", "arc_mm", "is %g: more than a full turn at a face radius of %g", arc, faceRadius)
	}
	step := l.Angle / float64(blocks-1)
	for i := range blocks {
		t := -l.Angle/2 + float64(i)*step
		s, c := math.Sincos(t)
		l.Contacts = append(l.Contacts, [2]float64{centreX + faceRadius*s, centreY + faceRadius*c})
		l.CrownChord = append(l.CrownChord, 2*faceRadius*math.Sin(math.Abs(t)/2))
	}
	l.Chord = 2 * faceRadius * math.Sin(step/2)
	l.Sagitta = faceRadius * 2 * sq(math.Sin(step/4))
	l.EndChord = 2 * faceRadius * math.Abs(math.Sin(l.Angle/2))
	if diameter > 0 && l.Sagitta > diameter/2 {
		l.Warnings = append(l.Warnings, fmt.Sprintf("the blocks are too far apart: the arc bulges %.1f mm over one gap, "+
			"more than half the bar; %d blocks would do", l.Sagitta, BlocksFor(faceRadius, arc, diameter/2)))
	}
	if c := arc / faceRadius; leg > 0 && faceRadius*math.Sin(c/2)+leg*math.Cos(c/2) < 0 {
		l.Warnings = append(l.Warnings,
			"the legs cross on this jig: bend one half at a time, or set the second leg above the first; mind hands where they pass")
	}
	return l, nil
}

// BlocksFor is the least number of blocks whose gaps bulge by no more than sagitta mm:
// n = 1 + ceil(A / (2 acos(1 - e/R))).
func BlocksFor(faceRadius, arc, sagitta float64) int {
	if sagitta >= faceRadius {
		return 2
	}
	n := math.Ceil(arc / faceRadius / (2 * math.Acos(1-sagitta/faceRadius)))
	return 1 + int(math.Max(1, math.Min(n, 1e6)))
}

// FlatBlockRadius is the radius at which a square block of the given width touches the bar when it is
// set tangent at centreRadius: with its corners, at sqrt(R^2 + (b/2)^2).
func FlatBlockRadius(centreRadius, width float64) float64 { return math.Hypot(centreRadius, width/2) }
