package session

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
)

// steelModulus is Young's modulus in MPa (EN 1992-1-1, 3.2.7).
const steelModulus = 200_000

// Advise says how to bring in a rib that is RE-BEND, from every bar and every pull of the batch so far.
// It fits Config.Advice and answers "" where the mechanics can say nothing: then the page says how far
// out the rib is.
func Advise(b qc.Batch, r qc.Rib, v qc.Verdict) string {
	o := orderOf(b.Target)
	s, ok := stateOf(b, r)
	if !ok {
		return ""
	}
	c, err := o.Correct(s, testsOf(b), pullsOf(b))
	if err != nil {
		return ""
	}
	switch c.Action {
	case bend.Open, bend.Close:
		return pullText(b.Target, c)
	case bend.Rewrap:
		return fmt.Sprintf("RE-BEND: wrap the bar again on a jig face radius of %.1f mm; let it go slowly, then measure a fresh round.", c.Face)
	case bend.Kink:
		return fmt.Sprintf("RE-BEND: bend it by %.1f degrees over a block at each %s, then measure a fresh round.", math.Abs(c.KinkDeg), c.Place)
	case bend.Refuse:
		return "RE-BEND is not advised: " + c.Reason
	}
	return ""
}

func pullText(t qc.Target, c bend.Correction) string {
	verb := "open"
	if c.Action == bend.Close {
		verb = "close"
	}
	to := fmt.Sprintf("until they read %.0f mm (%s)", faceTip(t, c.TipLoaded), t.Face)
	if c.TipLoaded < 0 {
		to = fmt.Sprintf("past each other by %.0f mm, hands out from between the legs", -c.TipLoaded)
	}
	return fmt.Sprintf("RE-BEND: %s the tips %s, let go slowly, then measure a fresh round; about %.0f +-%.0f mm is to be expected.",
		verb, to, faceTip(t, c.Expected), 2*c.UExp)
}

// faceTip turns a centreline tip-to-tip into the target's face, mm.
func faceTip(t qc.Target, centre float64) float64 {
	phi := t.Rib().HalfAngle()
	if radius, err := arch.RadiusFromTip(centre, t.Leg.MM(), t.Arc.MM()); err == nil {
		phi = arch.Rib{Radius: radius, Leg: t.Leg.MM(), Arc: t.Arc.MM()}.HalfAngle()
	}
	return arch.TipAt(t.Face.Arch(), centre, t.Bar.Diameter.MM(), phi)
}

// centreTip is the other way round, with the half angle of the wanted rib.
func centreTip(t qc.Target, mm float64) float64 {
	return arch.TipFrom(t.Face.Arch(), mm, t.Bar.Diameter.MM(), t.Rib().HalfAngle())
}

func centreCrown(t qc.Target, mm float64) float64 {
	return arch.CrownFrom(t.Face.Arch(), arch.EndCentres, mm, t.Bar.Diameter.MM(), t.Rib().HalfAngle())
}

func orderOf(t qc.Target) bend.Order {
	return bend.Order{
		Diameter: t.Bar.Diameter.MM(), Modulus: steelModulus, GradeYield: float64(t.Bar.YieldMPa),
		Leg: t.Leg.MM(), Arc: t.Arc.MM(), Wanted: t.Radius.MM(),
	}
}

// sizes are tip-to-tip and crown height of a rib in one of its rounds, at the centreline in mm.
type sizes struct{ tip, uTip, crown, uCrown float64 }

func sizesOf(b qc.Batch, r qc.Rib, round int) (sizes, bool) {
	r.Round = round
	read := func(id qc.CharID) (value, u float64, ok bool) {
		c, ok := b.Target.Characteristic(id)
		if !ok {
			return 0, 0, false
		}
		d, ok := r.Deviation(c)
		if !ok {
			return 0, 0, false
		}
		g, ok := b.Gauge(d.Gauge)
		if !ok {
			return 0, 0, false
		}
		return d.Value.MM(), qc.JudgeOne(c, d, g, b.Decision).U.MM(), true
	}
	tip, uTip, ok1 := read(qc.Tip)
	crown, uCrown, ok2 := read(qc.Crown)
	return sizes{centreTip(b.Target, tip), uTip, centreCrown(b.Target, crown), uCrown}, ok1 && ok2
}

func stateOf(b qc.Batch, r qc.Rib) (bend.State, bool) {
	z, ok := sizesOf(b, r, r.Round)
	face, known := faceRadius(b, r.Jig)
	if !ok || !known {
		return bend.State{}, false
	}
	tip, _ := b.Target.Characteristic(qc.Tip)
	crown, _ := b.Target.Characteristic(qc.Crown)
	t := b.Target
	return bend.State{
		Lot: r.Lot, Rib: r.ID, Face: face, Tip: z.tip, Crown: z.crown, UTip: z.uTip, UCrown: z.uCrown,
		TipLower: centreTip(t, (tip.Nominal + tip.Lower).MM()), TipUpper: centreTip(t, (tip.Nominal + tip.Upper).MM()),
		CrownLower: centreCrown(t, (crown.Nominal + crown.Lower).MM()), CrownUpper: centreCrown(t, (crown.Nominal + crown.Upper).MM()),
	}, true
}

func faceRadius(b qc.Batch, jig string) (float64, bool) {
	for _, j := range b.Jigs {
		if j.ID == jig {
			return j.FaceRadius.MM(), true
		}
	}
	return 0, false
}

// testsOf are the ribs as they came off the jig: the first round of each, in bend order.
func testsOf(b qc.Batch) []bend.Test {
	var ts []bend.Test
	for _, r := range b.Ribs {
		z, ok := sizesOf(b, r, 1)
		face, known := faceRadius(b, r.FirstJig)
		if ok && known {
			ts = append(ts, bend.Test{Lot: r.Lot, Face: face, Tip: z.tip, Crown: z.crown, UTip: z.uTip, UCrown: z.uCrown})
		}
	}
	return ts
}

// pullsOf are the pulls whose outcome was measured in the round after.
func pullsOf(b qc.Batch) []bend.Pull {
	var ps []bend.Pull
	for _, p := range b.Pulls {
		r, ok := b.Rib(p.Rib)
		if !ok {
			continue
		}
		if after, ok := sizesOf(b, r, p.Before.Round+1); ok {
			ps = append(ps, bend.Pull{
				Lot: r.Lot, Rib: r.ID, After: after.tip,
				Before: centreTip(b.Target, p.Before.Value.MM()), Loaded: centreTip(b.Target, p.Loaded.Value.MM()),
			})
		}
	}
	return ps
}

// AdviseJig gives the jig to build for the next bar of a lot, from every bar of the batch so far. Radii
// and lengths are millimetres at the centreline; the face radius is that of the blocks.
func AdviseJig(b qc.Batch, lot string) (bend.Advice, error) {
	return orderOf(b.Target).Advise(lot, testsOf(b))
}
