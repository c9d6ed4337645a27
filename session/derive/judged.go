package derive

import (
	"springline/qc"
	"springline/session/book"
)

// Judged is a rib with its verdict and what follows from it. It is shared and never changed.
type Judged struct {
	Verdict qc.Verdict
	Fault   error   // why it cannot be judged; the verdict is then open
	Dev     []int32 // for pairs, of a rib that passes
	Bend    qc.Bend // as it came off the jig, if it is Bent
	Bent    bool
	First   qc.Bent // its first round, for the drift watch

	As JudgedAs
}

// JudgedAs is all that a verdict depends on: while it is equal, so is the verdict.
type JudgedAs struct {
	batch            string
	version, weighed int64
}

// judgedRibs keep the judged ribs of the batch looked at last, by rib.
type judgedRibs map[string]*Judged

// of judges the ribs of a batch, in bend order, anew only where something changed.
func (k *judgedRibs) of(s *book.Book, b *book.Batch) []*Judged {
	if *k == nil {
		*k = judgedRibs{}
	}
	list := make([]*Judged, len(b.Ribs))
	for i, r := range b.Ribs {
		as := JudgedAs{b.Body.ID, r.Version, b.Weighed}
		j := (*k)[r.ID]
		if j == nil || j.As != as {
			j = NewJudged(s, b, r)
			j.As = as
			(*k)[r.ID] = j
		}
		list[i] = j
	}
	return list
}

func NewJudged(s *book.Book, b *book.Batch, r *book.Rib) *Judged {
	j := &Judged{First: qc.FirstRound(b.Target, r.Rib, s.GaugeIn(b), b.Decision)}
	j.Verdict, j.Fault = s.Judge(b, r)
	if j.Fault == nil && j.Verdict.Word == qc.Pass {
		j.Dev = b.Target.PairDeviations(j.Verdict)
	}
	q := qc.Batch{Target: b.Target, Decision: b.Decision, Gauges: s.GaugesOf(b), Jigs: s.Jigs, Ribs: []qc.Rib{r.Rib}}
	if bends := q.Bends(); len(bends) == 1 {
		j.Bend, j.Bent = bends[0], true
	}
	return j
}
