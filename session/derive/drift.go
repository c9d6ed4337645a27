package derive

import (
	"slices"

	"springline/qc"
	"springline/session/book"
)

// driftInput is what the drift watch looks at: the first rounds of the batch on the bench, in bend order.
type driftInput struct {
	batch  string
	target qc.Target
	bent   []*qc.Bent
}

// DriftFound is what it found, if anything.
type DriftFound struct {
	Target qc.Target
	Bent   []qc.Bent
	qc.DriftFinding
	Found bool
}

func driftInputOf(s *book.Book, ribs []*Judged) driftInput {
	o := s.Batch
	if o == nil || len(o.Ribs) == 0 {
		return driftInput{}
	}
	in := driftInput{batch: o.Body.ID, target: o.Target, bent: make([]*qc.Bent, len(o.Ribs))}
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

// Drift is what the batch on the bench says of its jig.
func (d *Set) Drift() DriftFound {
	if len(d.bent.bent) == 0 {
		return DriftFound{}
	}
	return d.kept.drift.to(d.bent.seen(), d.bent.find)
}

func (in driftInput) find() DriftFound {
	f := DriftFound{Target: in.target, Bent: make([]qc.Bent, len(in.bent))}
	for i, b := range in.bent {
		f.Bent[i] = *b
	}
	f.DriftFinding, f.Found = qc.FindDrift(f.Target, f.Bent)
	return f
}
