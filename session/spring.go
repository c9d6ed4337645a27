package session

import (
	"math"
	"slices"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
)

// springInput is what the jig is learned from.
type springInput struct {
	batch    string // empty without an open one
	target   qc.Target
	bends    []qc.Bend
	lot, jig string // of the next bar
	face     length.Length
}

// jigAdvice is the jig to build for the next bar, as learned from the ribs so far.
type jigAdvice struct {
	springInput
	bend.Advice
	err error // why nothing can be advised

	since string  // first rib since which bars spring back otherwise, empty where there is none
	by    float64 // and by what factor
}

func springInputOf(s *state, ribs []*Judged) springInput {
	o := s.batch
	if o == nil || !o.closed.IsZero() {
		return springInput{}
	}
	in := springInput{batch: o.body.ID, target: o.target, lot: o.lot, jig: o.jig}
	if j, ok := s.jig(o.jig); ok {
		in.face = j.FaceRadius
	}
	for _, j := range ribs {
		if j.Bent {
			in.bends = append(in.bends, j.Bend)
		}
	}
	return in
}

func (in springInput) same(b springInput) bool {
	return in.batch == b.batch && in.lot == b.lot && in.jig == b.jig && in.face == b.face && slices.Equal(in.bends, b.bends)
}

// jig is what is learned of the jig; without an open batch it names none.
func (d *derived) jig() jigAdvice {
	if d.bends.batch == "" {
		return jigAdvice{}
	}
	return d.kept.jig.to(d.bends, d.bends.advise)
}

func (in springInput) advise() jigAdvice {
	a := jigAdvice{springInput: in}
	tests := make([]bend.Test, len(in.bends))
	for i, b := range in.bends {
		tests[i] = b.Test
	}
	var constants []bend.Constant
	if a.Advice, constants, a.err = in.target.BendOrder().AdviseAndConstants(in.lot, tests); a.err != nil {
		return a
	}
	if s, ok := bend.LastShift(constants); ok {
		if last := in.bends[len(in.bends)-1]; last.Lot == in.lot && last.Jig == in.jig {
			a.since, a.by = in.bends[s.From].Rib, s.By
		}
	}
	return a
}

// off is how far the jig as built is wider than the one advised, mm.
func (a jigAdvice) off() float64 { return a.face.MM() - a.Face }

// miss is what that does to the tips, mm.
func (a jigAdvice) miss() float64 { return math.Abs(a.off() * a.TipPerFace) }

// fits reports whether building the jig anew would gain nothing worth it.
func (a jigAdvice) fits() bool { return a.miss() < a.UTip/2 || math.Abs(a.off()) < 0.5 }
