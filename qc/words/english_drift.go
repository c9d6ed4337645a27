package words

import (
	"fmt"

	"springline/qc/length"
)

// englishDrift says what the watch over the jig finds, as one would at the jig.
var englishDrift = []saying{
	say(jigDrift),
	say(driftBasis),
	say(func(f JigUnmeasured) string {
		return fmt.Sprintf("Nothing is said of the jig below %d ribs; none is measured yet.", f.From)
	}),
	say(func(f JigTooFew) string {
		return fmt.Sprintf("Nothing is said of the jig below %d ribs; so far %s.", f.From, driftBasis(f.DriftBasis))
	}),
	say(func(f JigSteady) string { return "No sign that the jig has moved: " + driftBasis(f.DriftBasis) + "." }),
}

func jigDrift(f JigDrift) string {
	w := driftPhrases(f.Char)
	by := about(f.By)
	switch f.Kind {
	case "shift":
		return fmt.Sprintf("%s %s by about %s since rib %s: %s.", w.what, w.moved(f.By), by, f.From, w.do)
	case "creep":
		return fmt.Sprintf("%s %s by about %s from rib %s to rib %s, a little with every rib: %s.",
			w.what, w.moved(f.By), by, f.From, f.To, w.creep)
	}
	return fmt.Sprintf("Rib %s came off the jig with %s about %s %s than the ribs before it: "+
		"measure it again, and if the next rib is like it, %s.",
		f.From, w.lone, by, w.than(f.By), w.do)
}

func driftBasis(f DriftBasis) string {
	text := Count(f.Ribs, "rib", "ribs") + " off " + Named("jig", f.Jig)
	if f.Lot != "" {
		text += ", " + Named("lot", f.Lot)
	}
	if f.ProvisionalBelow > 0 {
		text += fmt.Sprintf("; provisional below %d", f.ProvisionalBelow)
	}
	return text
}

// about rounds an amount to what is worth saying.
func about(l length.Length) string {
	l = max(l, -l)
	if l >= 2950*length.Micrometre {
		return Fixed(l, length.Millimetre) + " mm"
	}
	return Fixed(l, tenthMM) + " mm"
}

// phrases of one kind of characteristic.
type phrases struct {
	what, lone      string
	up, down        string // verbs
	larger, smaller string
	do, creep       string
}

func (w phrases) moved(by length.Length) string {
	if by > 0 {
		return w.up
	}
	return w.down
}

func (w phrases) than(by length.Length) string {
	if by > 0 {
		return w.larger
	}
	return w.smaller
}

func driftPhrases(c Char) phrases {
	const moved, creeps = "check that block 1 has not moved, then re-test the jig", "look for a block that gives way, then re-test the jig"
	switch c {
	case "tip":
		return phrases{"The tips", "tips", "have opened", "have closed", "wider", "narrower", moved, creeps}
	case "crown":
		return phrases{"The crown", "a crown", "has risen", "has dropped", "higher", "lower", moved, creeps}
	case "leg-a", "leg-b":
		const stop = "check the stop that sets the leg"
		return phrases{Capital(c.Label()), c.Label(), "has grown", "has shrunk", "longer", "shorter", stop, stop}
	case "twist":
		const flat = "check that the jig lies flat, then re-test it"
		return phrases{"The twist", "a twist", "has risen", "has dropped", "higher", "lower", flat, flat}
	case "diameter":
		const stock = "check the label of the stock"
		return phrases{"The bar", "a bar", "has become thicker", "has become thinner", "thicker", "thinner", stock, stock}
	}
	return phrases{Capital(c.Label()), c.Label(), "has moved out", "has moved in", "further out", "further in",
		"check the blocks on leg " + string(c[:min(len(c), 1)]) + "'s side, then re-test the jig", creeps}
}
