package qc

import (
	"math"

	"springline/qc/length"
	"springline/qc/stats"
	"springline/qc/words"
)

// DriftFinding is what the bench says about the jig: at most one thing at a time.
type DriftFinding struct {
	Char  CharID
	Kind  DriftKind
	Rib   string // first rib of what happened
	Order int
	ByMM  float64
	Said  words.Finding // what changed, since which rib and what to do
	Basis words.Finding // how much it rests on
}

// Finding is what happened in the stretch being bent; false while nothing did.
func (d Drift) Finding() (DriftFinding, bool) {
	s := d.Now()
	if s == nil || s.Kind == NoDrift {
		return DriftFinding{}, false
	}
	p := s.Points[s.Since]
	return DriftFinding{Char: d.Char.ID, Kind: s.Kind, Rib: p.ID, Order: p.Order, ByMM: s.By, Said: s.said(d.Char), Basis: s.basis()}, true
}

// Past are the changes found in the stretches before the one being bent, each with its stretch.
func (d Drift) Past() []string {
	var list []string
	for i := range max(0, len(d.Stretches)-1) {
		if s := &d.Stretches[i]; s.Kind == Shifted || s.Kind == Creeps {
			list = append(list, s.note()+": "+words.English.Say(s.said(d.Char)))
		}
	}
	return list
}

// watched are the characteristics that the sentence listens to. Stations are left out: with many series
// one of them is always odd, and they move with the tips and the crown.
var watched = []CharID{Tip, Crown}

// FindDrift is the one thing to say about the jig: the plainer, then the tips. A change is plainer than a rib that
// stands alone, whose score is capped at what a step needs. False as long as nothing has happened.
func FindDrift(t Target, bent []Bent) (DriftFinding, bool) {
	var best DriftFinding
	strength, found := 0.0, false
	for _, id := range watched {
		d := NewDrift(t, bent, id)
		f, ok := d.Finding()
		if !ok {
			continue
		}
		if w := d.Now().Strength; !found || w > strength {
			best, strength, found = f, w, true
		}
	}
	return best, found
}

// said is what happened in the stretch.
func (s *Stretch) said(c Characteristic) words.JigDrift {
	return words.JigDrift{Char: words.Char(c.ID), Kind: string(s.Kind), From: s.Points[s.Since].ID, To: s.Points[len(s.Points)-1].ID,
		By: length.Length(math.Round(s.By * float64(length.Millimetre)))}
}

// basis is what is said of the stretch.
func (s *Stretch) basis() words.DriftBasis {
	b := words.DriftBasis{Ribs: len(s.Points), Jig: s.Jig, Lot: s.Lot}
	if s.Provisional {
		b.ProvisionalBelow = stats.ProvisionalBelow
	}
	return b
}

func (s *Stretch) note() string { return words.English.Say(s.basis()) }
