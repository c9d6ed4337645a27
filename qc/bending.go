package qc

import (
	"springline/qc/arch"
	"springline/qc/bend"
)

// SteelModulus is Young's modulus in MPa (EN 1992-1-1, 3.2.7).
const SteelModulus = 200_000

// BendOrder is the target in the words of qc/bend: mm and MPa at the centreline.
func (t Target) BendOrder() bend.Order {
	return bend.Order{
		Diameter: t.Bar.Diameter.MM(), Modulus: SteelModulus, GradeYield: float64(t.Bar.YieldMPa),
		Leg: t.Leg.MM(), Arc: t.Arc.MM(), Wanted: t.Radius.MM(),
	}
}

// CentreTip turns a tip-to-tip on the target's face into one on the centreline, mm.
func (t Target) CentreTip(mm float64) float64 {
	return arch.TipFrom(t.Face.Arch(), mm, t.Bar.Diameter.MM(), t.Rib().HalfAngle())
}

// FaceTip turns a tip-to-tip on the centreline into one on the target's face, mm.
func (t Target) FaceTip(centre float64) float64 {
	phi := t.Rib().HalfAngle()
	if radius, err := arch.RadiusFromTip(centre, t.Leg.MM(), t.Arc.MM()); err == nil {
		phi = arch.Shape{Radius: radius, Leg: t.Leg.MM(), Arc: t.Arc.MM()}.HalfAngle()
	}
	return arch.TipAt(t.Face.Arch(), centre, t.Bar.Diameter.MM(), phi)
}

// CentreCrown turns a crown height on the target's face into one on the centreline, mm.
func (t Target) CentreCrown(mm float64) float64 {
	return arch.CrownFrom(t.Face.Arch(), arch.EndCentres, mm, t.Bar.Diameter.MM(), t.Rib().HalfAngle())
}

// Size is tip-to-tip and crown height of a rib in one of its rounds, at the centreline in mm, with their
// standard uncertainties.
type Size struct{ Tip, UTip, Crown, UCrown float64 }

// SizeOf is a rib's size in a round; ok is false before both were measured.
func (b Batch) SizeOf(r Rib, round int) (s Size, ok bool) {
	r.Round = round
	read := func(id CharID) (value, u float64, ok bool) {
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
		return d.Value.MM(), JudgeOne(c, d, g, b.Decision).U.MM(), true
	}
	tip, uTip, ok1 := read(Tip)
	crown, uCrown, ok2 := read(Crown)
	tip, crown = tip-b.Target.BarShift(r, Tip), crown-b.Target.BarShift(r, Crown)
	return Size{b.Target.CentreTip(tip), uTip, b.Target.CentreCrown(crown), uCrown}, ok1 && ok2
}

// BarShift is by how much the rib's own bar moves a characteristic's nominal value, mm. Longer legs move tips
// and crown without any other bend: what is learned is of the target's own legs.
func (t Target) BarShift(r Rib, id CharID) float64 {
	c, ok := t.Characteristic(id)
	own, ok2 := t.ForBar(r.BarLength).Characteristic(id)
	if !ok || !ok2 {
		return 0
	}
	return (own.Nominal - c.Nominal).MM()
}

// FaceRadius is that of a jig set-up of the batch, mm.
func (b Batch) FaceRadius(jig string) (mm float64, ok bool) {
	for _, j := range b.Jigs {
		if j.ID == jig {
			return j.FaceRadius.MM(), true
		}
	}
	return 0, false
}

// Bend is a rib as it came off the jig.
type Bend struct {
	Rib, Jig string
	bend.Test
}

// Bends are the ribs as they came off the jig, before any pull: the first round of each, in bend order.
func (b Batch) Bends() []Bend {
	var list []Bend
	for _, r := range b.Ribs {
		s, ok := b.SizeOf(r, 1)
		face, known := b.FaceRadius(r.FirstJig)
		if ok && known {
			list = append(list, Bend{r.ID, r.FirstJig, bend.Test{Lot: r.Lot, Face: face,
				Tip: s.Tip, Crown: s.Crown, UTip: s.UTip, UCrown: s.UCrown}})
		}
	}
	return list
}

// Tests are the bends alone.
func (b Batch) Tests() []bend.Test {
	var list []bend.Test
	for _, x := range b.Bends() {
		list = append(list, x.Test)
	}
	return list
}
