package session

import (
	"fmt"
	"math"
	"time"

	"springline/qc"
	"springline/qc/bend"
)

// Advise says how to bring in a rib that is RE-BEND, from every bar and every pull of the batch so far.
// It answers "" where the mechanics can say nothing: then the page says how far out the rib is.
func Advise(b qc.Batch, r qc.Rib, v qc.Verdict) string {
	c, ok := Correct(b, r)
	if !ok {
		return ""
	}
	switch c.Action {
	case bend.Open, bend.Close:
		shift := b.Target.BarShift(r, qc.Tip)
		c.TipLoaded, c.Expected = c.TipLoaded+shift, c.Expected+shift
		return pullText(b.Target, c, pullsOf(b))
	case bend.Rewrap:
		return fmt.Sprintf("RE-BEND: wrap the bar again on a jig face radius of %.1f mm; let it go slowly, then measure a fresh round.", c.Face)
	case bend.Kink:
		return fmt.Sprintf("RE-BEND: bend it by %.1f degrees over a block at each %s, then measure a fresh round.", math.Abs(c.KinkDeg), c.Place)
	case bend.Refuse:
		return "RE-BEND is not advised: " + c.Reason
	}
	return ""
}

// Correct is the next action for a rib, in numbers at the centreline; ok is false where the readings or the
// mechanics say nothing.
func Correct(b qc.Batch, r qc.Rib) (c bend.Correction, ok bool) {
	s, ok := stateOf(b, r)
	if !ok {
		return c, false
	}
	c, err := b.Target.BendOrder().Correct(s, b.Tests(), pullsOf(b))
	return c, err == nil
}

// pullText says how far to pull, what to expect, and what that rests on: the band narrows with every pull of
// the same direction that was measured.
func pullText(t qc.Target, c bend.Correction, pulls []bend.Pull) string {
	verb, learned := "open", 0
	if c.Action == bend.Close {
		verb = "close"
	}
	for _, p := range pulls {
		if (p.Loaded > p.Before) == (c.Action == bend.Open) {
			learned++
		}
	}
	rests := "no such pull has been measured yet"
	switch {
	case learned == 1:
		rests = "learned from 1 such pull"
	case learned > 1:
		rests = fmt.Sprintf("learned from %d such pulls", learned)
	}
	slip := ""
	if c.Slip {
		slip = " The last pull did not leave the tips where it should have: look for a slip or a misread spacing first."
	}
	to := fmt.Sprintf("until they read %.0f mm (%s)", t.FaceTip(c.TipLoaded), t.Face)
	if c.TipLoaded < 0 {
		to = fmt.Sprintf("past each other by %.0f mm, hands out from between the legs", -c.TipLoaded)
	}
	return fmt.Sprintf("RE-BEND: %s the tips %s, let go slowly, then measure a fresh round; about %.0f +-%.0f mm is to be expected (%s).%s",
		verb, to, t.FaceTip(c.Expected), 2*c.UExp, rests, slip)
}

func stateOf(b qc.Batch, r qc.Rib) (bend.State, bool) {
	z, ok := b.SizeOf(r, r.Round)
	face, known := b.FaceRadius(r.Jig)
	if !ok || !known {
		return bend.State{}, false
	}
	tip, _ := b.Target.Characteristic(qc.Tip)
	crown, _ := b.Target.Characteristic(qc.Crown)
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

// pullsOf are the pulls of the last week whose outcome was measured in the round after.
func pullsOf(b qc.Batch) []bend.Pull {
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
				Before: b.Target.CentreTip(p.Before.Value.MM() - b.Target.BarShift(r, qc.Tip)),
				Loaded: b.Target.CentreTip(p.Loaded.Value.MM() - b.Target.BarShift(r, qc.Tip)),
			})
		}
	}
	return ps
}

// AdviseJig gives the jig to build for the next bar of a lot, from every bar of the batch so far. Radii
// and lengths are millimetres at the centreline; the face radius is that of the blocks.
func AdviseJig(b qc.Batch, lot string) (bend.Advice, error) {
	return b.Target.BendOrder().Advise(lot, b.Tests())
}
