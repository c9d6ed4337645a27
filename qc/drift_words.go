package qc

import (
	"fmt"
	"math"
	"strconv"

	"springline/qc/stats"
)

// DriftFinding is what the bench says about the jig: at most one thing at a time.
type DriftFinding struct {
	Char  CharID
	Kind  DriftKind
	Rib   string // first rib of what happened
	Order int
	ByMM  float64
	Text  string // what changed, since which rib and what to do, in one sentence
	Note  string // how much it rests on
}

// Finding is what happened in the stretch being bent; false while nothing did.
func (d Drift) Finding() (DriftFinding, bool) {
	s := d.Now()
	if s == nil || s.Kind == NoDrift {
		return DriftFinding{}, false
	}
	p := s.Points[s.Since]
	return DriftFinding{Char: d.Char.ID, Kind: s.Kind, Rib: p.ID, Order: p.Order, ByMM: s.By, Text: s.sentence(d.Char), Note: s.note()}, true
}

// Past are the changes found in the stretches before the one being bent, each with its stretch.
func (d Drift) Past() []string {
	var list []string
	for i := range max(0, len(d.Stretches)-1) {
		if s := &d.Stretches[i]; s.Kind == Shifted || s.Kind == Creeps {
			list = append(list, fmt.Sprintf("%s: %s", s.note(), s.sentence(d.Char)))
		}
	}
	return list
}

// watched are the characteristics that the sentence listens to. Stations are left out: with many series
// one of them is always odd, and they move with the tips and the crown.
var watched = []CharID{Tip, Crown}

// FindDrift is the one thing to say about the jig: a change before a rib that stands alone, then the plainer,
// then the tips. False while there is nothing to say.
func FindDrift(t Target, bent []Bent) (DriftFinding, bool) {
	var best DriftFinding
	strength, found := 0.0, false
	for _, id := range watched {
		d := NewDrift(t, bent, id)
		f, ok := d.Finding()
		if !ok {
			continue
		}
		w := d.Now().Strength
		if f.Kind != LoneValue {
			w += 1e6
		}
		if !found || w > strength {
			best, strength, found = f, w, true
		}
	}
	return best, found
}

// sentence says it as one would at the jig.
func (s *Stretch) sentence(c Characteristic) string {
	rib, by := s.Points[s.Since].ID, about(s.By)
	w := driftWords(c)
	switch s.Kind {
	case Shifted:
		return fmt.Sprintf("%s %s by about %s since rib %s: %s.", w.what, w.verb(s.By), by, rib, w.do)
	case Creeps:
		return fmt.Sprintf("%s %s by about %s from rib %s to rib %s, a little with every rib: %s.",
			w.what, w.verb(s.By), by, rib, s.Points[len(s.Points)-1].ID, w.creep)
	default:
		return fmt.Sprintf("Rib %s came off the jig with %s about %s %s than the ribs before it: measure it again, and if the next rib is like it, %s.",
			rib, w.lone, by, w.than(s.By), w.do)
	}
}

func (s *Stretch) note() string {
	text := fmt.Sprintf("%d ribs off jig %s", len(s.Points), s.Jig)
	if len(s.Points) == 1 {
		text = "1 rib off jig " + s.Jig
	}
	if s.Lot != "" {
		text += ", lot " + s.Lot
	}
	if s.Provisional {
		text += fmt.Sprintf("; provisional below %d", stats.ProvisionalBelow)
	}
	return text
}

// about rounds an amount to what is worth saying.
func about(mm float64) string {
	if mm = math.Abs(mm); mm >= 2.95 {
		return strconv.FormatFloat(math.Round(mm), 'f', 0, 64) + " mm"
	}
	return strconv.FormatFloat(mm, 'f', 1, 64) + " mm"
}

// phrases of one kind of characteristic.
type phrases struct {
	what, lone      string
	up, down        string // verbs
	larger, smaller string
	do, creep       string
}

func (w phrases) verb(by float64) string {
	if by > 0 {
		return w.up
	}
	return w.down
}

func (w phrases) than(by float64) string {
	if by > 0 {
		return w.larger
	}
	return w.smaller
}

func driftWords(c Characteristic) phrases {
	const moved, creeps = "check that block 1 has not moved, then re-test the jig", "look for a block that gives way, then re-test the jig"
	switch c.Kind {
	case TipToTip:
		return phrases{"The tips", "tips", "have opened", "have closed", "wider", "narrower", moved, creeps}
	case CrownHeight:
		return phrases{"The crown", "a crown", "has risen", "has dropped", "higher", "lower", moved, creeps}
	case StationOffset:
		return phrases{"Station " + string(c.ID), "station " + string(c.ID), "has moved out", "has moved in", "further out", "further in",
			"check the blocks on leg " + string(c.ID)[:1] + "'s side, then re-test the jig", creeps}
	case LegLength:
		const stop = "check the stop that sets the leg"
		return phrases{capitalLeg(c), c.Label(), "has grown", "has shrunk", "longer", "shorter", stop, stop}
	case TwistRock:
		const flat = "check that the jig lies flat, then re-test it"
		return phrases{"The twist", "a twist", "has risen", "has dropped", "higher", "lower", flat, flat}
	default:
		const stock = "check the label of the stock"
		return phrases{"The bar", "a bar", "has become thicker", "has become thinner", "thicker", "thinner", stock, stock}
	}
}

func capitalLeg(c Characteristic) string {
	if c.ID == LegA {
		return "Leg A"
	}
	return "Leg B"
}
