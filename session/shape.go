package session

import (
	"slices"

	"springline/qc"
)

// shapeInput is the rib on the bench as judged, once it has been measured to the end.
type shapeInput struct {
	rib     string // empty while something is to be measured
	version int64
	target  qc.Target
	verdict qc.Verdict
}

// shapeFound is the shape of the rib on the bench; known is false where nothing tells of it.
type shapeFound struct {
	rib     string
	version int64
	qc.RibShape
	known bool
}

func shapeInputOf(s *state, ribs []*Judged) shapeInput {
	o := s.batch
	if o == nil || o.current == nil {
		return shapeInput{}
	}
	r := o.current
	if _, open := r.Next(o.targetOf(r)); open {
		return shapeInput{} // a reading does not wait for a picture that the next one changes
	}
	return shapeInput{rib: r.ID, version: r.version, target: o.targetOf(r), verdict: ribs[slices.Index(o.ribs, r)].Verdict}
}

// same looks at the judgements too: a gauge study that ends changes them and not the rib.
func (in shapeInput) same(b shapeInput) bool {
	return in.rib == b.rib && in.version == b.version && slices.EqualFunc(in.verdict.Chars, b.verdict.Chars, func(x, y qc.Judgement) bool {
		return x.Dev == y.Dev && x.U == y.U
	})
}

// shape is the shape of the rib on the bench.
func (d *derived) shape() shapeFound {
	if d.rib.rib == "" {
		return shapeFound{}
	}
	return d.kept.shape.to(d.rib, func() shapeFound {
		f := shapeFound{rib: d.rib.rib, version: d.rib.version}
		f.RibShape, f.known = d.rib.target.FitShape(d.rib.verdict)
		return f
	})
}
