package job

import (
	"errors"
	"math"
	"strings"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/length"
)

// shapeFile is what a job may say of the wanted rib in place of leg, arc and radius: any three of the
// seven are enough. Span and crown height are on the target's face, the crown height from the middle of the ends.
type shapeFile struct {
	BarLength string  `toml:"bar_length"`
	Span      string  `toml:"span"`
	Crown     string  `toml:"crown_height"`
	Angle     float64 `toml:"arc_angle_deg"`
	Buried    string  `toml:"buried_depth"`
}

// agreeMM is how far a quantity that is given beyond need may be off what the others make it.
const agreeMM = 0.5

// shape puts leg, arc and radius into the spec: as given, else solved from what is. Solved lengths are
// rounded to 0.1 mm.
func (r *reader) shape(spec *qc.ArchSpec, leg, arcLength, radius string, f shapeFile) {
	face := spec.Face.Arch()
	k := arch.Known{Diameter: spec.Bar.Diameter.MM(), SpanFace: face, CrownFace: face}
	for _, x := range []struct {
		name, text string
		to         **float64
	}{
		{"leg", leg, &k.Leg}, {"arc", arcLength, &k.Arc}, {"radius", radius, &k.Radius},
		{"bar_length", f.BarLength, &k.BarLength}, {"span", f.Span, &k.Span}, {"crown_height", f.Crown, &k.Crown},
	} {
		if x.text == "" {
			continue
		}
		v := r.length("target."+x.name, x.text).MM()
		*x.to = &v
	}
	if f.Angle != 0 {
		v := f.Angle * math.Pi / 180
		k.ArcTurn = &v
	}
	spec.Leg, spec.Arc, spec.Radius = r.optional("target.leg", leg), r.optional("target.arc", arcLength), r.optional("target.radius", radius)
	if r.err != nil || k.Leg != nil && k.Arc != nil && k.Radius != nil && k.BarLength == nil && k.Span == nil && k.Crown == nil &&
		k.ArcTurn == nil {
		return // as given; a shape that cannot be is refused with the target
	}
	rib, err := k.Solve(agreeMM)
	var in *arch.InputError
	var few *arch.NotEnoughError
	switch {
	case errors.As(err, &in):
		name := strings.TrimSuffix(in.Field, "_mm")
		if name == "arc_angle_rad" {
			name = "arc_angle_deg"
		}
		r.fail("target."+name, "%s", in.Why)
	case errors.As(err, &few):
		r.fail("target:", "%d of leg, arc, radius, bar_length, span, crown_height and arc_angle_deg are given; a rib needs three that "+
			"are independent", few.Given)
	case err != nil:
		r.fail("target:", "%v", err)
	}
	if r.err != nil {
		return
	}
	for _, x := range []struct {
		text string
		mm   float64
		to   *length.Length
	}{{leg, rib.Leg, &spec.Leg}, {arcLength, rib.Arc, &spec.Arc}, {radius, rib.Radius, &spec.Radius}} {
		if x.text == "" {
			*x.to = length.Length(math.Round(x.mm*10)) * (length.Millimetre / 10)
		}
	}
	if f.BarLength != "" && leg == "" { // no waste: the legs take what the rounded arc leaves
		spec.Leg = (r.length("target.bar_length", f.BarLength) - spec.Arc) / 2
	}
}
