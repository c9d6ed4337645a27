package session

import "sync"

// derived is what follows from the record as it stood at one point and takes longer than a reading may wait:
// pairs, run orders, jig, shape and drift, as values. It keeps what they look at, copied out of the state, so
// that anybody may ask at any time; what was worked out is shared by all points that look alike.
type derived struct {
	kept  *lastAnswers
	ribs  []*Judged // of the batch on the bench, in bend order
	pair  pairInput
	bent  driftInput
	rib   shapeInput
	bends springInput
}

// lastAnswers are the ones given last. It is safe for use by many goroutines, but for the judged ribs, which
// belong to whoever looks at the state.
type lastAnswers struct {
	ribs     judgedRibs
	proposal answer[pairInput, *proposal]
	orders   orders
	jig      answer[springInput, jigAdvice]
	drift    answer[driftSeen, driftFound]
	shape    answer[shapeInput, shapeFound]
}

// at looks at the state, which nobody may change meanwhile.
func (k *lastAnswers) at(s *state) *derived {
	d := &derived{kept: k}
	if s.batch != nil {
		d.ribs = k.ribs.of(s, s.batch)
	}
	d.pair, d.bent, d.rib, d.bends = pairInputOf(s, d.ribs), driftInputOf(s, d.ribs), shapeInputOf(s, d.ribs), springInputOf(s, d.ribs)
	return d
}

// answer keeps the answer to the question asked last: it is worked out when somebody looks, and once.
type answer[Q interface{ same(Q) bool }, A any] struct {
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
