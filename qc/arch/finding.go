package arch

import "fmt"

// GapFinding puts a crown gap into words.
func GapFinding(f Fit) string {
	switch {
	case !f.GapSeen():
		return fmt.Sprintf("cannot tell from a plain arc: the crown gap of %+.1f mm lies within "+
			"the ±%.1f mm that the readings leave open", f.CrownGap, f.GapLimit)
	case f.CrownGap > 0:
		return fmt.Sprintf("the crown stands %.1f mm higher than a plain arc with these tips: peaked, or a reading is wrong", f.CrownGap)
	default:
		return fmt.Sprintf("the crown stands %.1f mm lower than a plain arc with these "+
			"tips: flat, a leg is kinked, or a reading is wrong", -f.CrownGap)
	}
}

// SplitFinding puts a split into words.
func SplitFinding(s Split) string {
	switch {
	case !s.Seen:
		return "cannot tell: the readings' uncertainty covers the difference between crown and shoulders"
	case s.Crown > s.Shoulders:
		return "the crown is bent tighter than the shoulders: peaked"
	default:
		return "the shoulders are bent tighter than the crown: flat"
	}
}

// LeanFinding puts the two halves into words.
func LeanFinding(l Lean) string {
	switch {
	case !l.Seen:
		return "cannot tell the halves apart: the chords differ by no more than their uncertainty"
	case l.Difference > 0:
		return "the half of leg A is bent less: the bar slipped along the jig or side A was pulled less"
	default:
		return "the half of leg B is bent less: the bar slipped along the jig or side B was pulled less"
	}
}
