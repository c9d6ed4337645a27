package derive

import (
	"math"
	"slices"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/session/book"
)

// springInput is what the jig is learned from.
type springInput struct {
	Batch    string // empty without an open one
	Target   qc.Target
	Bends    []qc.Bend
	Lot, Jig string // of the next bar
	Built    length.Length
}

// JigAdvice is the jig to build for the next bar, as learned from the ribs so far.
type JigAdvice struct {
	springInput
	bend.Advice
	Err error // why nothing can be advised

	Since string  // first rib since which bars spring back otherwise, empty where there is none
	By    float64 // and by what factor
}

func springInputOf(s *book.Book, ribs []*Judged) springInput {
	o := s.Batch
	if o == nil || !o.Closed.IsZero() {
		return springInput{}
	}
	in := springInput{Batch: o.Body.ID, Target: o.Target, Lot: o.Lot, Jig: o.Jig}
	if j, ok := s.Jig(o.Jig); ok {
		in.Built = j.FaceRadius
	}
	for _, j := range ribs {
		if j.Bent {
			in.Bends = append(in.Bends, j.Bend)
		}
	}
	return in
}

func (in springInput) same(b springInput) bool {
	return in.Batch == b.Batch && in.Lot == b.Lot && in.Jig == b.Jig && in.Built == b.Built && slices.Equal(in.Bends, b.Bends)
}

// Jig is what is learned of the jig; without an open batch it names none.
func (d *Set) Jig() JigAdvice {
	if d.bends.Batch == "" {
		return JigAdvice{}
	}
	return d.kept.jig.to(d.bends, d.bends.advise)
}

func (in springInput) advise() JigAdvice {
	a := JigAdvice{springInput: in}
	tests := make([]bend.Test, len(in.Bends))
	for i, b := range in.Bends {
		tests[i] = b.Test
	}
	var constants []bend.Constant
	if a.Advice, constants, a.Err = in.Target.BendOrder().AdviseAndConstants(in.Lot, tests); a.Err != nil {
		return a
	}
	if s, ok := bend.LastShift(constants); ok {
		if last := in.Bends[len(in.Bends)-1]; last.Lot == in.Lot && last.Jig == in.Jig {
			a.Since, a.By = in.Bends[s.From].Rib, s.By
		}
	}
	return a
}

// Off is how far the jig as built is wider than the one advised, mm.
func (a JigAdvice) Off() float64 { return a.Built.MM() - a.Face }

// Miss is what that does to the tips, mm.
func (a JigAdvice) Miss() float64 { return math.Abs(a.Off() * a.TipPerFace) }

// Fits reports whether building the jig anew would gain nothing worth it.
func (a JigAdvice) Fits() bool { return a.Miss() < a.UTip/2 || math.Abs(a.Off()) < 0.5 }
