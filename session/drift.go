package session

import (
	"slices"

	"springline/qc"
)

// driftInput is what the drift watch looks at: the first rounds of the batch on the bench, in bend order.
type driftInput struct {
	batch  string
	target qc.Target
	bent   []*qc.Bent
}

// driftFound is what it found, if anything.
type driftFound struct {
	target qc.Target
	bent   []qc.Bent
	qc.DriftFinding
	found bool
}

func driftInputOf(s *state, ribs []*Judged) driftInput {
	o := s.batch
	if o == nil || len(o.ribs) == 0 {
		return driftInput{}
	}
	in := driftInput{batch: o.body.ID, target: o.target, bent: make([]*qc.Bent, len(o.ribs))}
	for i, j := range ribs {
		in.bent[i] = &j.First
	}
	return in
}

// driftSeen is what the finding depends on: most readings change none of it.
type driftSeen struct {
	batch string
	ribs  []ribSeen
}

type ribSeen struct {
	id, jig, lot string
	dev          [2]qc.FirstDeviation
}

func (in driftInput) seen() driftSeen {
	watched := qc.WatchedForDrift(in.target)
	seen := driftSeen{batch: in.batch, ribs: make([]ribSeen, len(in.bent))}
	for i, b := range in.bent {
		seen.ribs[i] = ribSeen{id: b.ID, jig: b.Jig, lot: b.Lot}
		for k, at := range watched {
			if at >= 0 {
				seen.ribs[i].dev[k] = b.Dev[at]
			}
		}
	}
	return seen
}

func (s driftSeen) same(b driftSeen) bool { return s.batch == b.batch && slices.Equal(s.ribs, b.ribs) }

// drift is what the batch on the bench says of its jig.
func (d *derived) drift() driftFound {
	if len(d.bent.bent) == 0 {
		return driftFound{}
	}
	return d.kept.drift.to(d.bent.seen(), d.bent.find)
}

func (in driftInput) find() driftFound {
	f := driftFound{target: in.target, bent: make([]qc.Bent, len(in.bent))}
	for i, b := range in.bent {
		f.bent[i] = *b
	}
	f.DriftFinding, f.found = qc.FindDrift(f.target, f.bent)
	return f
}
