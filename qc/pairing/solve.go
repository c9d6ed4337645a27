package pairing

import (
	"cmp"
	"fmt"
	"slices"

	"springline/qc/pairing/certify"
	"springline/qc/words"
)

// Left is a rib that found no partner, and why.
type Left struct {
	Rib int
	Why words.Finding
}

// Result is an optimal matching. Pairs are in order of A and include the locked ones; Count, Sum
// (penalised cost) and Worst (mismatch) leave the locked ones out. LowerBound is the value of the
// proof, and Optimal says that it equals Sum.
type Result struct {
	Pairs      []Pair
	Unpaired   []Left
	Count      int
	Sum        int64
	Worst      int64
	LowerBound int64
	Optimal    bool
	// Certificate is the proof, which has been checked.
	Certificate *certify.Certificate
}

// Solve pairs the ribs: the most pairs first, then the least by the problem's objective. The answer is
// checked against its proof before it is returned. The error is an *InputError for a question that
// cannot be; it wraps certify.ErrNotProven if the proof does not hold, which no input should cause.
func Solve(p Problem) (Result, error) {
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	in := newInstance(&p)
	m, err := in.optimum(-1)
	if err != nil {
		return Result{}, err
	}
	cert := p.question()
	cert.Factor = in.factor
	cert.More = in.original(m.barrier)
	left, barrier, most := m.alone(), m.barrier, in.most
	if p.Objective == WorstThenSum && len(left) < in.n {
		worst, block := in.bottleneck(m.mates(), len(left))
		cert.Better = in.original(block)
		if worst < in.worst(m.mates()) {
			in.most = min(in.most, in.rawAtMost(worst))
			if m, err = in.optimum(len(left)); err != nil {
				return Result{}, err
			}
		}
	}
	in.prove(cert, m.engine)
	r, err := p.result(in, cert)
	if err == nil {
		r.Unpaired = p.reasons(in, m.alone(), barrier, most)
	}
	return r, err
}

func (p *Problem) result(in *instance, cert *certify.Certificate) (Result, error) {
	v, err := cert.Check()
	if err != nil {
		return Result{}, fmt.Errorf("pair ribs: %w; please report this with the data", err)
	}
	r := Result{Count: v.Count, Sum: v.Sum, Worst: v.Worst, LowerBound: v.LowerBound, Optimal: v.LowerBound == v.Sum, Certificate: cert}
	for _, q := range cert.Pairs {
		r.Pairs = append(r.Pairs, p.pair(in, q))
	}
	for _, q := range p.Locked {
		x := p.lockedPair(pairKey(q[0], q[1]))
		r.Pairs = append(r.Pairs, x)
	}
	slices.SortFunc(r.Pairs, func(a, b Pair) int { return cmp.Compare(a.A, b.A) })
	return r, nil
}

// pair describes a pair of the instance.
func (p *Problem) pair(in *instance, q [2]int) Pair {
	a, _ := slices.BinarySearch(in.ids, q[0])
	b, _ := slices.BinarySearch(in.ids, q[1])
	return p.describe(in.costs, q, a, b)
}

// lockedPair describes a pair that is no part of the instance.
func (p *Problem) lockedPair(q [2]int) Pair {
	c := newCosts(p.Metric, p.Weights, []Rib{p.Ribs[q[0]], p.Ribs[q[1]]})
	x := p.describe(c, q, 0, 1)
	x.Locked = true
	return x
}

func (p *Problem) describe(c *costs, q [2]int, a, b int) Pair {
	x := Pair{A: q[0], B: q[1], Flip: c.flip(a, b), Mismatch: c.nanometres(c.raw(a, b))}
	x.Cost = x.Mismatch
	if p.Ribs[x.A].Lot != p.Ribs[x.B].Lot {
		x.Cost += p.LotPenalty
	}
	return x
}
