package derive

import (
	"slices"

	"springline/qc"
	"springline/session/book"
)

// shapeInput is the rib on the bench as judged, once it has been measured to the end.
type shapeInput struct {
	rib     string // empty while something is to be measured
	version int64
	target  qc.Target
	verdict qc.Verdict
}

// ShapeFound is the shape of the rib on the bench; known is false where nothing tells of it.
type ShapeFound struct {
	Rib     string
	Version int64
	qc.RibShape
	Known bool
}

func shapeInputOf(s *book.Book, ribs []*Judged) shapeInput {
	o := s.Batch
	if o == nil || o.Current == nil {
		return shapeInput{}
	}
	r := o.Current
	if _, open := r.Next(o.TargetOf(r)); open {
		return shapeInput{} // a reading does not wait for a picture that the next one changes
	}
	return shapeInput{rib: r.ID, version: r.Version, target: o.TargetOf(r), verdict: ribs[slices.Index(o.Ribs, r)].Verdict}
}

// same looks at the judgements too: a gauge study that ends changes them and not the rib.
func (in shapeInput) same(b shapeInput) bool {
	return in.rib == b.rib && in.version == b.version && slices.EqualFunc(in.verdict.Chars, b.verdict.Chars, func(x, y qc.Judgement) bool {
		return x.Dev == y.Dev && x.U == y.U
	})
}

// Shape is the shape of the rib on the bench.
func (d *Set) Shape() ShapeFound {
	if d.rib.rib == "" {
		return ShapeFound{}
	}
	return d.kept.shape.to(d.rib, func() ShapeFound {
		f := ShapeFound{Rib: d.rib.rib, Version: d.rib.version}
		f.RibShape, f.Known = d.rib.target.FitShape(d.rib.verdict)
		return f
	})
}
