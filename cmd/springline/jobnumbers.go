package main

import (
	"fmt"
	"math"

	"springline/cmd/springline/job"
	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
	"springline/reports/jig"
)

// jobNumbers says what rib, bars and jig a job comes to, so that a slip in it shows before a bar is bent.
func jobNumbers(p *printer, j job.Job) error {
	t := j.Target
	rib, d := t.Rib(), t.Bar.Diameter.MM()
	phi := rib.HalfAngle()
	faces := func(at func(arch.Face) float64) string {
		return fmt.Sprintf("%.1f at the centre, %.1f inside, %.1f outside", at(arch.Centre), at(arch.Inside), at(arch.Outside))
	}
	p.line("rib (mm): bar %s = arc %s + 2 legs of %s; arc angle %.1f degrees", t.BarLength(), t.Arc, t.Leg, 2*phi*180/math.Pi)
	p.line("  radius %s", faces(func(f arch.Face) float64 { return arch.RadiusAt(f, rib.Radius, d) }))
	p.line("  tip-to-tip %s", faces(func(f arch.Face) float64 { return arch.TipAt(f, rib.TipToTip(), d, phi) }))
	p.line("  crown height %s, from the middle of the ends",
		faces(func(f arch.Face) float64 { return arch.CrownAt(f, arch.EndCentres, rib.CrownHeight(), d, phi) }))
	p.line("  stood on the floor: %.1f to the top of the crown", arch.CrownAt(arch.Outside, arch.Floor, rib.CrownHeight(), d, phi))
	p.line("  1 mm of radius moves the tips by %.2f mm and the crown by %.2f mm", rib.TipByRadius(), rib.CrownByRadius())
	if t.Buried > 0 {
		width, clear, err := t.AboveGround()
		if err != nil {
			return err
		}
		p.line("  buried %s: %.0f clear under the crown, %.0f wide at the ground between bar centres", t.Buried, math.Floor(clear), width)
	}
	for _, l := range j.Lots {
		lotLength(p, t, l)
	}
	return jobJig(p, j)
}

// lotLength holds a lot's bars against the rib: the arc stays, what is left over goes into both legs.
func lotLength(p *printer, t qc.Target, l qc.Lot) {
	if l.BarLength == 0 {
		return
	}
	leg, err := arch.NoWasteLeg(l.BarLength.MM(), t.Arc.MM())
	if err != nil {
		p.line("%s: bars of %s are shorter than the arc of %s", l.ID, l.BarLength, t.Arc)
		return
	}
	rib := arch.Shape{Radius: t.Radius.MM(), Leg: leg, Arc: t.Arc.MM()}
	switch more := l.BarLength - t.BarLength(); {
	case more > 0:
		p.line("%s: bars of %s are %s longer than the rib: legs of %.1f without waste, tips then %.1f apart at the centre; or cut to %s", l.ID,
			l.BarLength, more, leg, rib.TipToTip(), t.BarLength())
	case more < 0:
		p.line("%s: bars of %s are %s SHORTER than the rib: legs of only %.1f, tips then %.1f apart at the centre", l.ID, l.BarLength, -more,
			leg, rib.TipToTip())
	default:
		p.line("%s: bars of %s fit without waste", l.ID, l.BarLength)
	}
}

// jobJig holds the job's jig against bar and rib.
func jobJig(p *printer, j job.Job) error {
	t := j.Target
	o := t.BendOrder()
	plan, err := bend.Draw(bend.PlanSpec{Diameter: o.Diameter, Face: j.Jig.FaceRadius.MM(), Leg: o.Leg, Arc: o.Arc, Blocks: j.Jig.Blocks,
		Yield: o.GradeYield})
	if err != nil {
		p.line("jig %s cannot be laid out: %v", j.Jig.ID, err)
		return nil
	}
	wrap, note := plan.Angle, ""
	if plan.Half {
		wrap, note = 2*plan.Angle, ": more than fits round it, so one half is bent at a time"
	} else if plan.Crossing != nil {
		note = ": the legs cross"
	}
	p.line("jig %s: face %s, centre %.1f, the bar wraps %.0f degrees%s", j.Jig.ID, j.Jig.FaceRadius, plan.CentreRadius, wrap*180/math.Pi, note)
	if o.GradeYield > 0 {
		x, err := o.Expect("", nil, plan.Face)
		if err != nil {
			return err
		}
		p.line("  by the grade alone a bar is expected to open to %.0f (±%.0f) at the centre: bend one and ask springline jig advise", x.Tip,
			math.Ceil(2*x.U))
	}
	for _, s := range jig.Checks(plan, o, nil) {
		p.line("  %s", s)
	}
	if tol := bend.TipTolerance(t.Rib().TipToTip() + o.Diameter); t.Round[0].Upper.MM() > tol.Plus {
		p.line("note: ±%s on tip-to-tip is wider than the ±%.0f of %s", t.Round[0].Upper, tol.Plus, tol.Source)
	}
	return nil
}
