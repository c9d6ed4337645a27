package pairing

// event is something that becomes possible at a time: a half-edge becomes tight, or (^b) an inner
// blossom b loses its dual.
type event struct {
	at   int64
	what int32
}

// before orders events by time and then by number, so that equal questions get equal answers.
func (e event) before(f event) bool {
	return e.at < f.at || e.at == f.at && e.what < f.what
}

// heap is a binary heap of events, earliest first.
type heap []event

func (h *heap) push(e event) {
	*h = append(*h, e)
	s := *h
	i := len(s) - 1
	for i > 0 {
		p := (i - 1) / 2
		if !e.before(s[p]) {
			break
		}
		s[i] = s[p]
		i = p
	}
	s[i] = e
}

func (h *heap) pop() event {
	s := *h
	top := s[0]
	e := s[len(s)-1]
	s = s[:len(s)-1]
	*h = s
	if len(s) == 0 {
		return top
	}
	i := 0
	for {
		c := 2*i + 1
		if c >= len(s) {
			break
		}
		if c+1 < len(s) && s[c+1].before(s[c]) {
			c++
		}
		if !s[c].before(e) {
			break
		}
		s[i] = s[c]
		i = c
	}
	s[i] = e
	return top
}
