package qc

import "springline/qc/length"

// ForBar is the target as a bar of that length makes it: no bar is cut, so what it is longer or shorter than
// wanted goes into both legs, half each, and moves the tip-to-tip and crown height that are right for it.
// Limits stay. A length of zero, or the target's own, changes nothing; one that leaves no legs or no rib
// changes nothing either (a rib is only started on a bar that can become one: see CheckBar).
func (t Target) ForBar(bar length.Length) Target {
	if bar == 0 || bar == t.BarLength() || t.CheckBar(bar) != nil {
		return t
	}
	was, wasCrown := t.nominal()
	n := t
	n.Leg = (bar - t.Arc) / 2
	tip, crown := n.nominal()
	n.Round = append([]Characteristic(nil), t.Round...)
	for i := range n.Round {
		switch n.Round[i].Kind {
		case TipToTip:
			n.Round[i].Nominal += tip - was
		case CrownHeight:
			n.Round[i].Nominal += crown - wasCrown
		}
	}
	return n
}

// CheckBar says why no rib of the target can be made of a bar of that length; the error is a *TargetError.
// A stock bar is some centimetres longer than it is sold as; one that is a tenth off is another bar.
func (t Target) CheckBar(bar length.Length) error {
	long := t.BarLength()
	if d := bar - long; d > long/10 || d < -long/10 {
		return &TargetError{Field: "bar length", Reason: "of " + bar.String() +
			" mm is more than a tenth off the " + long.String() + " mm that the rib is made of"}
	}
	n := t
	n.Leg = (bar - t.Arc) / 2
	if n.Leg < 0 {
		return &TargetError{Field: "bar length", Reason: "of " + bar.String() + " mm is shorter than the arc of " + t.Arc.String() + " mm"}
	}
	return validateShape(n)
}
