package show

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/bend"
)

// Advise says how to bring in a rib that is RE-BEND, from every bar and every pull of the batch so far.
// It answers "" where the mechanics can say nothing: then the page says how far out the rib is.
func Advise(b qc.Batch, r qc.Rib, v qc.Verdict) string {
	c, ok := b.Correct(r)
	if !ok {
		return ""
	}
	switch c.Action {
	case bend.Open, bend.Close:
		shift := b.Target.BarShift(r, qc.Tip)
		c.TipLoaded, c.Expected = c.TipLoaded+shift, c.Expected+shift
		return PullText(b.Target, c, b.BendPulls())
	case bend.Rewrap:
		return fmt.Sprintf("RE-BEND: wrap the bar again on a jig face radius of %.1f mm; let it go slowly, then measure a fresh round.", c.Face)
	case bend.Kink:
		return fmt.Sprintf("RE-BEND: bend it by %.1f degrees over a block at each %s, then measure a fresh round.", math.Abs(c.KinkDeg), c.Place)
	case bend.Refuse:
		return "RE-BEND is not advised: " + c.Reason
	}
	return ""
}

// PullText says how far to pull, what to expect, and what that rests on: the band narrows with every pull of
// the same direction that was measured.
func PullText(t qc.Target, c bend.Correction, pulls []bend.Pull) string {
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
	return fmt.Sprintf("RE-BEND: %s the tips %s, let go slowly, then measure a fresh round; about %.0f ±%.0f mm is to be expected (%s).%s",
		verb, to, t.FaceTip(c.Expected), 2*c.UExp, rests, slip)
}
