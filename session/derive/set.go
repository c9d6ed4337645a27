package derive

import (
	"sync"

	"springline/session/book"
)

// Set is what follows from the record as it stood at one point and takes longer than a reading may wait:
// pairs, run orders, jig, shape and drift, as values. It keeps what they look at, copied out of the state, so
// that anybody may ask at any time; what was worked out is shared by all points that look alike.
type Set struct {
	kept  *LastAnswers
	Ribs  []*Judged // of the batch on the bench, in bend order
	pair  pairInput
	bent  driftInput
	rib   shapeInput
	bends springInput
}

// LastAnswers are the ones given last. It is safe for use by many goroutines, but for the judged ribs, which
// belong to whoever looks at the state.
type LastAnswers struct {
	ribs     judgedRibs
	proposal answer[pairInput, *proposal]
	orders   orders
	jig      answer[springInput, JigAdvice]
	drift    answer[driftSeen, DriftFound]
	shape    answer[shapeInput, ShapeFound]
}

// At looks at the state, which nobody may change meanwhile.
func (k *LastAnswers) At(s *book.Book) *Set {
	d := &Set{kept: k}
	if s.Batch != nil {
		d.Ribs = k.ribs.of(s, s.Batch)
	}
	d.pair, d.bent, d.rib, d.bends = pairInputOf(s, d.Ribs), driftInputOf(s, d.Ribs), shapeInputOf(s, d.Ribs), springInputOf(s, d.Ribs)
	return d
}

// question is what an answer depends on.
type question[Q any] interface{ same(Q) bool }

// answer keeps the answer to the question asked last: it is worked out when somebody looks, and once.
type answer[Q question[Q], A any] struct {
	mu    sync.Mutex
	known bool
	asked Q
	given A
}

func (a *answer[Q, A]) to(q Q, work func() A) A {
	a.mu.Lock()
	defer a.mu.Unlock()
	if !a.known || !a.asked.same(q) {
		a.given, a.asked, a.known = work(), q, true
	}
	return a.given
}
