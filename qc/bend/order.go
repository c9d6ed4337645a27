package bend

import (
	"fmt"
	"math"

	"springline/qc/arch"
)

// Order is what is to be made: the bar as bought and the rib wanted from it.
type Order struct {
	Diameter   float64 `json:"diameter_mm" doc:"nominal bar diameter, mm"`
	Modulus    float64 `json:"modulus_mpa" doc:"Young's modulus, MPa"`
	GradeYield float64 `json:"grade_yield_mpa" doc:"the grade's yield, MPa; only where learning starts from"`
	Leg        float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc        float64 `json:"arc_mm" doc:"arc along the centreline, mm"`
	Wanted     float64 `json:"wanted_radius_mm" doc:"centreline radius of the free rib, mm"`
}

// Test is one bar as it came off the jig, before any pull. Lengths in mm at the centreline.
type Test struct {
	Lot        string
	Face       float64 // jig face radius it was bent on
	Tip, Crown float64
	UTip       float64 // standard uncertainty of Tip
	UCrown     float64
}

// Pull is one pull of the tips and what it left: spacing before, under load, after release, mm.
type Pull struct {
	Lot, Rib              string
	Before, Loaded, After float64
}

// Check refuses an order that cannot be.
func (o Order) Check() error {
	b := Bar{Diameter: o.Diameter, Modulus: o.Modulus, Yield: o.GradeYield}
	if err := b.Check(); err != nil {
		in, ok := err.(*arch.InputError)
		if ok && in.Field == "yield_mpa" {
			return &arch.InputError{Code: in.Code, Field: "grade_yield_mpa", Why: in.Why}
		}
		return err
	}
	for _, err := range []error{arch.CheckPositive("wanted_radius_mm", o.Wanted),
		arch.CheckNotNegative("leg_mm", o.Leg), arch.CheckPositive("arc_mm", o.Arc)} {
		if err != nil {
			return err
		}
	}
	if o.Wanted <= 2*o.Diameter {
		return arch.Refuse("out_of_range", "wanted_radius_mm",
			"is %g: tighter than a bend of four diameters; this is for ribs, not for hooks", o.Wanted)
	}
	if o.Wanted > 100*o.yieldRadius() {
		return arch.Refuse("out_of_range", "wanted_radius_mm",
			"is %g: so slack a curve is the bar's own crookedness; lay it in place straight", o.Wanted)
	}
	return o.rib(1 / o.Wanted).Check()
}

// yieldRadius is the radius at which a bar of the grade begins to yield, mm.
func (o Order) yieldRadius() float64 { return o.Modulus * o.Diameter / (2 * o.GradeYield) }

func (o Order) rib(k float64) arch.Shape { return arch.Shape{Radius: 1 / k, Leg: o.Leg, Arc: o.Arc} }

// tip is the tip-to-tip of a free rib of curvature k; a rib that sprang straight is as wide as it is long.
func (o Order) tip(k float64) float64 {
	// The tips meet their own tracks after a full turn; nothing tighter is a rib.
	k = math.Min(math.Max(k, 1e-9), 2*math.Pi/o.Arc)
	return o.rib(k).TipToTip()
}

// Target is the tip-to-tip of the wanted rib.
func (o Order) Target() float64 { return o.tip(1 / o.Wanted) }

// curvature is the mean curvature that a tip-to-tip stands for, whatever bent where.
func (o Order) curvature(tip float64) (float64, error) {
	r, err := arch.RadiusFromTip(tip, o.Leg, o.Arc)
	if err != nil {
		return 0, err
	}
	return 1 / r, nil
}

// checkTests refuses a bar or a pull that cannot have been; prefix names the list in the answer.
func (o Order) checkTests(tests []Test, pulls []Pull) error {
	long := o.Arc + 2*o.Leg
	spacing := func(field string, v float64) error {
		if err := arch.CheckFinite(field, v); err != nil {
			return err
		}
		if math.Abs(v) > long {
			return arch.Refuse("out_of_range", field, "is %g; the bar is only %g long", v, long)
		}
		return nil
	}
	for i, t := range tests {
		at := fmt.Sprintf("tests[%d].", i)
		for _, err := range []error{
			arch.CheckPositive(at+"jig_face_radius_mm", t.Face), spacing(at+"tip_to_tip_mm", t.Tip), spacing(at+"crown_height_mm", t.Crown),
			arch.CheckNotNegative(at+"u_tip_mm", t.UTip), arch.CheckNotNegative(at+"u_crown_mm", t.UCrown),
		} {
			if err != nil {
				return err
			}
		}
	}
	for i, p := range pulls {
		at := fmt.Sprintf("pulls[%d].", i)
		for _, err := range []error{spacing(at+"before_mm", p.Before), spacing(at+"loaded_mm", p.Loaded), spacing(at+"after_mm", p.After)} {
			if err != nil {
				return err
			}
		}
	}
	return nil
}
