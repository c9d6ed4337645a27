package session

import "springline/qc"

// Judged is a rib with its verdict and what follows from it. It is shared and never changed.
type Judged struct {
	Verdict qc.Verdict
	Fault   error   // why it cannot be judged; the verdict is then open
	Dev     []int32 // for pairs, of a rib that passes
	Bend    qc.Bend // as it came off the jig, if it is Bent
	Bent    bool
	First   qc.Bent // its first round, for the drift watch

	as judgedAs
}

// judgedAs is all that a verdict depends on: while it is equal, so is the verdict.
type judgedAs struct {
	batch            string
	version, weighed int64
}

// judgedRibs keep the judged ribs of the batch looked at last, by rib.
type judgedRibs map[string]*Judged

// of judges the ribs of a batch, in bend order, anew only where something changed.
func (k *judgedRibs) of(s *state, b *batch) []*Judged {
	if *k == nil {
		*k = judgedRibs{}
	}
	list := make([]*Judged, len(b.ribs))
	for i, r := range b.ribs {
		as := judgedAs{b.body.ID, r.version, b.weighed}
		j := (*k)[r.ID]
		if j == nil || j.as != as {
			j = newJudged(s, b, r)
			j.as = as
			(*k)[r.ID] = j
		}
		list[i] = j
	}
	return list
}

func newJudged(s *state, b *batch, r *rib) *Judged {
	j := &Judged{First: qc.FirstRound(b.target, r.Rib, s.gaugeIn(b), b.decision)}
	j.Verdict, j.Fault = s.judge(b, r)
	if j.Fault == nil && j.Verdict.Word == qc.Pass {
		j.Dev = b.target.PairDeviations(j.Verdict)
	}
	q := qc.Batch{Target: b.target, Decision: b.decision, Gauges: s.gaugesOf(b), Jigs: s.jigs, Ribs: []qc.Rib{r.Rib}}
	if bends := q.Bends(); len(bends) == 1 {
		j.Bend, j.Bent = bends[0], true
	}
	return j
}
