package session

import (
	"sync"

	"springline/qc"
)

// ShapeView is what a rib looks like against its target, as far as it has been measured. Its picture is
// drawn from the record by whoever shows it (reports.ShapeDrawing).
type ShapeView struct {
	Sentence string `json:"sentence"` // the diagnosis with its uncertainty
	CanTell  bool   `json:"can_tell"` // false: what was measured covers every difference
	Place    string `json:"place"`    // where to work: crown, shoulder, leg A, leg B, whole arc
	Rib      string `json:"rib"`
	Version  int64  `json:"version"` // of the rib: the picture is another once it changes
}

// shapeInput is the rib on the bench as judged, once it has been measured to the end.
type shapeInput struct {
	rib     string
	version int64
	target  qc.Target
	verdict qc.Verdict
}

// shaper keeps the last shape: it is worked out when it is looked at, and once.
type shaper struct {
	mu   sync.Mutex
	rib  string
	at   int64
	last *ShapeView
}

func (s *state) shapeInput() shapeInput {
	o := s.batch
	if o == nil || o.current == nil {
		return shapeInput{}
	}
	r := o.current
	if _, open := r.Next(o.targetOf(r)); open {
		return shapeInput{} // a reading does not wait for a picture that the next one changes
	}
	return shapeInput{rib: r.ID, version: r.version, target: o.targetOf(r), verdict: s.judge(o, r)}
}

func (h *shaper) view(in shapeInput) *ShapeView {
	if in.rib == "" {
		return nil
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.rib == in.rib && h.at == in.version {
		return h.last
	}
	h.rib, h.at, h.last = in.rib, in.version, nil
	if s, ok := in.target.FitShape(in.verdict); ok {
		h.last = &ShapeView{Sentence: s.Sentence, CanTell: s.CanTell, Place: string(s.Place), Rib: in.rib, Version: in.version}
	}
	return h.last
}
