package session

import "sync"

// derived is what follows from the record as it stood at one point and takes longer than a reading may wait:
// pairs, run orders, jig, shape and drift, as values. It keeps what they look at, copied out of the state, so
// that anybody may ask at any time; what was worked out is shared by all points that look alike.
type derived struct {
	kept  *lastAnswers
	pair  pairInput
	bent  driftInput
	rib   shapeInput
	bends springInput
}

// lastAnswers are the ones given last. It is safe for use by many goroutines.
type lastAnswers struct {
	proposal answer[pairInput, *proposal]
	orders   orders
	jig      answer[springInput, jigAdvice]
	drift    answer[driftSeen, driftFound]
	shape    answer[shapeInput, shapeFound]
}

// at looks at the state, which nobody may change meanwhile.
func (k *lastAnswers) at(s *state) *derived {
	return &derived{kept: k, pair: pairInputOf(s), bent: driftInputOf(s), rib: shapeInputOf(s), bends: springInputOf(s)}
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
