package calc

import (
	"cmp"
	"errors"
	"math"

	"springline/qc/arch"
	"springline/qc/bend"
)

const (
	srcSection = "plane sections of a round bar, linear hardening, elastic release: moment in closed form, shape factor 16/(3 pi)"
	srcShape   = "T = 2 (R sin phi + l cos phi), H = R (1 - cos phi) + l sin phi, phi = s/(2R)"
)

func kindsBend() []Kind {
	return []Kind{
		row("bar.moment", "bending moment of a round bar at a loaded radius, and the curvature left after release", srcSection, barMoment),
		row("bar.springback", "radius of a bar after it was bent round a jig and released", srcSection,
			func(in springIn) (bend.Springback, error) { return in.Spring(in.Face) }),
		row("bar.jig_radius", "jig that leaves a wanted radius", srcSection+"; root of k - M(k)/(E I) = 1/R", barJigRadius),
		row("bar.test_bend", "apparent yield from one bent bar, and the jig for a wanted radius", srcSection+"; "+srcShape, barTestBend),
		row("bar.effort", "plastic moment of a bar and the force at a lever", "Mp = fy d^3/6", barEffort),
		row("rib.geometry", "what a tape reads on a rib of known radius", srcShape, ribGeometry),
		row("rib.fit_radius", "radius from tip-to-tip and crown height, weighted", srcShape+"; least squares", ribFit),
		row("rib.two_radius", "crown and shoulder curvature from tip-to-tip and crown height",
			"three arcs with common tangents; Newton", ribTwoRadius),
		row("rib.half_chords", "radius of each half from crown mark to tip", "c^2 = 2 R^2 (1 - cos phi) + 2 R l sin phi + l^2", ribHalfChords),
	}
}

type momentIn struct {
	bend.Bar
	Radius float64 `json:"loaded_radius_mm" doc:"centreline radius under load, mm"`
}

type momentOut struct {
	YieldMoment   float64 `json:"yield_moment_nmm" doc:"N mm"`
	PlasticMoment float64 `json:"plastic_moment_nmm" doc:"N mm, without hardening"`
	YieldK        float64 `json:"yield_curvature_per_mm" doc:"1/mm"`
	Moment        float64 `json:"moment_nmm" doc:"N mm at the loaded radius"`
	ReleasedK     float64 `json:"released_curvature_per_mm" doc:"1/mm after elastic release; 0 if it stayed elastic"`
}

func barMoment(in momentIn) (momentOut, error) {
	if err := cmp.Or(in.Check(), arch.CheckPositive("loaded_radius_mm", in.Radius),
		thickerThan(in.Radius, in.Diameter, "loaded_radius_mm")); err != nil {
		return momentOut{}, err
	}
	k := 1 / in.Radius
	return momentOut{
		YieldMoment: in.YieldMoment(), PlasticMoment: in.PlasticMoment(), YieldK: in.YieldCurvature(),
		Moment: in.Moment(k), ReleasedK: in.Released(k),
	}, nil
}

// thickerThan refuses a centreline radius that puts the bar's inside past the centre of the arc.
func thickerThan(radius, diameter float64, field string) error {
	if radius <= diameter/2 {
		return arch.Refuse("out_of_range", field, "is %g, not more than half the bar's diameter of %g", radius, diameter)
	}
	return nil
}

type springIn struct {
	bend.Bar
	Face float64 `json:"jig_face_radius_mm" doc:"radius of the jig where the bar touches it, mm"`
}

type jigIn struct {
	bend.Bar
	Wanted float64 `json:"wanted_radius_mm" doc:"centreline radius wanted after release, mm"`
}

type jigOut struct {
	Centre float64 `json:"jig_centre_radius_mm" doc:"centreline radius on the jig, mm"`
	Face   float64 `json:"jig_face_radius_mm" doc:"radius to build, mm"`
	Ratio  float64 `json:"ratio" doc:"loaded over released"`
}

func barJigRadius(in jigIn) (jigOut, error) {
	if err := cmp.Or(arch.CheckPositive("diameter_mm", in.Diameter), arch.CheckPositive("wanted_radius_mm", in.Wanted),
		thickerThan(in.Wanted, in.Diameter, "wanted_radius_mm")); err != nil {
		return jigOut{}, err
	}
	s, err := in.Jig(in.Wanted)
	return jigOut{Centre: s.Loaded, Face: s.Loaded - in.Diameter/2, Ratio: s.Ratio}, err
}

type testBendIn struct {
	Diameter float64 `json:"diameter_mm" doc:"bar diameter, mm"`
	Modulus  float64 `json:"modulus_mpa" doc:"Young's modulus, MPa"`
	Face     float64 `json:"jig_face_radius_mm" doc:"radius of the jig the bar was bent on, mm"`
	Leg      float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc      float64 `json:"arc_mm" doc:"arc along the centreline, mm"`
	Tip      float64 `json:"tip_to_tip_mm" doc:"measured, end centres, mm"`
	Wanted   float64 `json:"wanted_radius_mm" doc:"centreline radius wanted after release, mm"`
}

type testBendOut struct {
	Released float64 `json:"released_radius_mm" doc:"mm"`
	Ratio    float64 `json:"ratio" doc:"loaded over released"`
	Yield    float64 `json:"apparent_yield_mpa" doc:"of the perfectly plastic bar that would do the same, MPa"`
	Centre   float64 `json:"jig_centre_radius_mm" doc:"centreline radius on the jig for the wanted radius, mm"`
	Face     float64 `json:"jig_face_radius_mm" doc:"the jig's own radius for the wanted radius, mm"`
	Constant float64 `json:"spring_constant_per_mm" doc:"apparent yield over modulus and diameter, 1/mm"`
}

func barTestBend(in testBendIn) (testBendOut, error) {
	if err := cmp.Or(arch.CheckPositive("diameter_mm", in.Diameter), arch.CheckPositive("modulus_mpa", in.Modulus),
		arch.CheckPositive("jig_face_radius_mm", in.Face), arch.CheckPositive("wanted_radius_mm", in.Wanted),
		thickerThan(in.Wanted, in.Diameter, "wanted_radius_mm")); err != nil {
		return testBendOut{}, err
	}
	r, err := arch.RadiusFromTip(in.Tip, in.Leg, in.Arc)
	if err != nil {
		return testBendOut{}, err
	}
	t, err := bend.FromTest(in.Diameter, in.Modulus, in.Face+in.Diameter/2, r)
	if err != nil {
		return testBendOut{}, err
	}
	j, err := bend.Bar{Diameter: in.Diameter, Modulus: in.Modulus, Yield: t.ApparentYield}.Jig(in.Wanted)
	var field *arch.InputError
	if errors.As(err, &field) && field.Field == "yield_mpa" {
		return testBendOut{}, refuse("out_of_range", "tip_to_tip_mm",
			"means an apparent yield of %.0f MPa: no steel; check the jig radius and the reading", t.ApparentYield)
	}
	return testBendOut{
		Released: r, Ratio: t.Ratio, Yield: t.ApparentYield, Constant: t.SpringConstant,
		Centre: j.Loaded, Face: j.Loaded - in.Diameter/2,
	}, err
}

type effortIn struct {
	Diameter float64 `json:"diameter_mm" doc:"bar diameter, mm"`
	Yield    float64 `json:"yield_mpa" doc:"yield stress, MPa"`
	Lever    float64 `json:"lever_mm" doc:"from the block to the hands, mm"`
}

type effortOut struct {
	Moment float64 `json:"plastic_moment_nm" doc:"N m"`
	Force  float64 `json:"force_n" doc:"at the lever, N"`
	Advice string  `json:"advice,omitempty" doc:"said when it is more than one person should pull"`
}

func barEffort(in effortIn) (effortOut, error) {
	if err := cmp.Or(arch.CheckPositive("diameter_mm", in.Diameter), arch.CheckPositive("yield_mpa", in.Yield)); err != nil {
		return effortOut{}, err
	}
	e, err := bend.Bar{Diameter: in.Diameter, Yield: in.Yield}.EffortAt(in.Lever)
	return effortOut{Moment: e.PlasticMoment / 1000, Force: e.Force, Advice: e.Advice}, err
}

type geometryIn struct {
	arch.Shape
	Diameter float64 `json:"diameter_mm" doc:"bar diameter, mm"`
}

type geometryOut struct {
	HalfAngle   float64 `json:"half_angle_deg" doc:"degrees"`
	Tip         float64 `json:"tip_to_tip_mm" doc:"between end centres, mm; negative once the legs cross"`
	Crown       float64 `json:"crown_height_mm" doc:"tip line to the crown's centre, mm"`
	TipByR      float64 `json:"dtip_dradius" doc:"mm per mm"`
	CrownByR    float64 `json:"dcrown_dradius" doc:"mm per mm"`
	TipOutside  float64 `json:"tip_to_tip_outside_mm" doc:"over the outside of square-cut ends, mm"`
	TipInside   float64 `json:"tip_to_tip_inside_mm" doc:"between the insides of square-cut ends, mm"`
	CrownTop    float64 `json:"crown_height_top_mm" doc:"end centres to the outside of the crown, mm"`
	CrownFloor  float64 `json:"crown_height_floor_mm" doc:"floor under the tips to the outside of the crown, mm"`
	BarLength   float64 `json:"bar_length_mm" doc:"arc and both legs, mm"`
	LegsCrossed bool    `json:"legs_cross" doc:"the tips have passed each other"`
}

func ribGeometry(in geometryIn) (geometryOut, error) {
	r := in.Shape
	if err := cmp.Or(r.Check(), arch.CheckPositive("diameter_mm", in.Diameter),
		thickerThan(in.Radius, in.Diameter, "radius_mm")); err != nil {
		return geometryOut{}, err
	}
	phi, t, h, d := r.HalfAngle(), r.TipToTip(), r.CrownHeight(), in.Diameter
	return geometryOut{
		HalfAngle: phi * 180 / math.Pi, Tip: t, Crown: h, TipByR: r.TipByRadius(), CrownByR: r.CrownByRadius(),
		TipOutside: arch.TipAt(arch.Outside, t, d, phi), TipInside: arch.TipAt(arch.Inside, t, d, phi),
		CrownTop:   arch.CrownAt(arch.Outside, arch.EndCentres, h, d, phi),
		CrownFloor: arch.CrownAt(arch.Outside, arch.Floor, h, d, phi),
		BarLength:  r.BarLength(), LegsCrossed: r.LegsCross(),
	}, nil
}

// measuredRib is what a tape says of a rib of known bar length.
type measuredRib struct {
	Tip   float64 `json:"tip_to_tip_mm" doc:"measured, end centres, mm"`
	Crown float64 `json:"crown_height_mm" doc:"measured, end centres to crown centre, mm"`
	Leg   float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc   float64 `json:"arc_mm" doc:"arc along the centreline, mm"`
}

type fitIn struct {
	measuredRib
	UTip   float64 `json:"u_tip_mm" doc:"standard uncertainty of the tip-to-tip, mm"`
	UCrown float64 `json:"u_crown_mm" doc:"standard uncertainty of the crown height, mm"`
}

type fitOut struct {
	Radius   float64 `json:"radius_mm" doc:"fitted, mm"`
	URadius  float64 `json:"u_radius_mm" doc:"its standard uncertainty, mm"`
	ResTip   float64 `json:"residual_tip_mm" doc:"measured minus fitted, mm"`
	ResCrown float64 `json:"residual_crown_mm" doc:"measured minus fitted, mm"`
	FromTip  float64 `json:"radius_from_tip_mm" doc:"from the tip-to-tip alone, mm"`
	Gap      float64 `json:"crown_gap_mm" doc:"measured crown height minus that of radius_from_tip_mm, mm"`
	GapLimit float64 `json:"crown_gap_limit_mm" doc:"2 sqrt(uH^2 + (dH/dT uT)^2), mm"`
	Finding  string  `json:"finding" doc:"what the gap says, or that it cannot be told"`
}

func ribFit(in fitIn) (fitOut, error) {
	f, err := arch.FitRadius(in.Tip, in.Crown, in.Leg, in.Arc, in.UTip, in.UCrown)
	return fitOut{
		Radius: f.Radius, URadius: f.U, ResTip: f.ResidualTip, ResCrown: f.ResidualCrown,
		FromTip: f.RadiusFromTip, Gap: f.CrownGap, GapLimit: f.GapLimit, Finding: arch.GapFinding(f),
	}, err
}

type twoRadiusIn struct {
	measuredRib
	Fraction float64  `json:"crown_fraction" doc:"share of the arc that is the crown region, 0 to 1"`
	UTip     *float64 `json:"u_tip_mm" need:"no" doc:"standard uncertainty of the tip-to-tip, mm; with u_crown_mm"`
	UCrown   *float64 `json:"u_crown_mm" need:"no" doc:"standard uncertainty of the crown height, mm; with u_tip_mm"`
}

type twoRadiusOut struct {
	CrownK    float64 `json:"crown_curvature_per_mm" doc:"1/mm"`
	ShoulderK float64 `json:"shoulder_curvature_per_mm" doc:"1/mm"`
	Angle     float64 `json:"total_angle_deg" doc:"turn of the whole arc, degrees"`

	UCrownK    *float64 `json:"u_crown_curvature_per_mm,omitempty" doc:"its standard uncertainty, 1/mm"`
	UShoulderK *float64 `json:"u_shoulder_curvature_per_mm,omitempty" doc:"its standard uncertainty, 1/mm"`
	Finding    string   `json:"finding,omitempty" doc:"what the split says, or that it cannot be told"`
}

func ribTwoRadius(in twoRadiusIn) (twoRadiusOut, error) {
	switch {
	case in.UTip != nil && in.UCrown == nil:
		return twoRadiusOut{}, refuse("missing_field", "u_crown_mm", "must be given with u_tip_mm")
	case in.UCrown != nil && in.UTip == nil:
		return twoRadiusOut{}, refuse("missing_field", "u_tip_mm", "must be given with u_crown_mm")
	case in.UTip != nil:
		s, err := arch.SplitWithUncertainty(in.Tip, in.Crown, in.Leg, in.Arc, in.Fraction, *in.UTip, *in.UCrown)
		return twoRadiusOut{CrownK: s.Crown, ShoulderK: s.Shoulders, Angle: s.Angle() * 180 / math.Pi,
			UCrownK: &s.UCrown, UShoulderK: &s.UShoulders, Finding: arch.SplitFinding(s)}, err
	}
	t, err := arch.SplitRadius(in.Tip, in.Crown, in.Leg, in.Arc, in.Fraction)
	return twoRadiusOut{CrownK: t.Crown, ShoulderK: t.Shoulders, Angle: t.Angle() * 180 / math.Pi}, err
}

type chordsIn struct {
	A   float64 `json:"chord_a_mm" doc:"crown mark to the tip of leg A, mm"`
	B   float64 `json:"chord_b_mm" doc:"crown mark to the tip of leg B, mm"`
	Leg float64 `json:"leg_mm" doc:"straight leg, mm"`
	Arc float64 `json:"arc_mm" doc:"whole arc along the centreline, mm"`

	U *float64 `json:"u_chord_mm" need:"no" doc:"standard uncertainty of one chord, mm"`
}

type chordsOut struct {
	A float64 `json:"radius_a_mm" doc:"mm"`
	B float64 `json:"radius_b_mm" doc:"mm"`

	UA      *float64 `json:"u_radius_a_mm,omitempty" doc:"its standard uncertainty, mm"`
	UB      *float64 `json:"u_radius_b_mm,omitempty" doc:"its standard uncertainty, mm"`
	Finding string   `json:"finding,omitempty" doc:"which half is bent less, or that it cannot be told"`
}

func ribHalfChords(in chordsIn) (chordsOut, error) {
	l, err := arch.LeanFromChords(in.A, in.B, in.Leg, in.Arc, given(in.U, 0))
	out := chordsOut{A: l.RadiusA, B: l.RadiusB}
	if in.U != nil {
		out.UA, out.UB, out.Finding = &l.UA, &l.UB, arch.LeanFinding(l)
	}
	return out, err
}
