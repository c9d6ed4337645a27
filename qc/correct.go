package qc

import (
	"time"

	"springline/qc/bend"
)

// Correct is the next action for a rib, in numbers at the centreline; ok is false where the readings or the
// mechanics say nothing.
func (b Batch) Correct(r Rib) (c bend.Correction, ok bool) {
	s, ok := b.stateOf(r)
	if !ok {
		return c, false
	}
	c, err := b.Target.BendOrder().Correct(s, b.Tests(), b.BendPulls())
	return c, err == nil
}

// stateOf is a rib in its present round at the centreline, with the limits of the target.
func (b Batch) stateOf(r Rib) (bend.State, bool) {
	z, ok := b.SizeOf(r, r.Round)
	face, known := b.FaceRadius(r.Jig)
	if !ok || !known {
		return bend.State{}, false
	}
	tip, _ := b.Target.Characteristic(Tip)
	crown, _ := b.Target.Characteristic(Crown)
	t := b.Target
	return bend.State{
		Lot: r.Lot, Rib: r.ID, Face: face, Tip: z.Tip, Crown: z.Crown, UTip: z.UTip, UCrown: z.UCrown,
		TipLower: t.CentreTip((tip.Nominal + tip.Lower).MM()), TipUpper: t.CentreTip((tip.Nominal + tip.Upper).MM()),
		CrownLower: t.CentreCrown((crown.Nominal + crown.Lower).MM()), CrownUpper: t.CentreCrown((crown.Nominal + crown.Upper).MM()),
	}, true
}

// pullAge is how long a pull says something of the next one: bent steel ages and yields later again
// (qc/bend; a week is common practice, no source).
const pullAge = 7 * 24 * time.Hour

// BendPulls are the pulls of the last week whose outcome was measured in the round after.
func (b Batch) BendPulls() []bend.Pull {
	var ps []bend.Pull
	for _, p := range b.Pulls {
		if b.AsOf.Sub(p.At) > pullAge {
			continue
		}
		r, ok := b.Rib(p.Rib)
		if !ok {
			continue
		}
		if after, ok := b.SizeOf(r, p.Before.Round+1); ok {
			ps = append(ps, bend.Pull{
				Lot: r.Lot, Rib: r.ID, After: after.Tip,
				Before: b.Target.CentreTip(p.Before.Value.MM() - b.Target.BarShift(r, Tip)),
				Loaded: b.Target.CentreTip(p.Loaded.Value.MM() - b.Target.BarShift(r, Tip)),
			})
		}
	}
	return ps
}

// AdviseJig gives the jig to build for the next bar of a lot, from every bar of the batch so far. Radii
// and lengths are millimetres at the centreline; the face radius is that of the blocks.
func (b Batch) AdviseJig(lot string) (bend.Advice, error) {
	return b.Target.BendOrder().Advise(lot, b.Tests())
}
