package session

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sync"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/pairing"
)

// pairInput is what the pairs follow from.
type pairInput struct {
	batch     string
	closed    bool
	planned   int
	bent      int
	target    qc.Target
	ready     []readyRib
	left      []LeftView
	confirmed *confirmed
	pairingState
}

// readyRib is a complete rib that passes.
type readyRib struct {
	id, lot string
	version int64
	dev     []int32
}

// proposal is an optimal set of pairs for one input, and the name under which it may be confirmed.
type proposal struct {
	problem pairing.Problem
	result  pairing.Result
	body    PairsBody
	devs    map[string][]int32
	index   map[string]int
	loose   []string
	proof   string
	token   string
	err     error
}

// proposer keeps the last proposal and the last run orders: they are worked out when they are looked at,
// and once.
type proposer struct {
	mu     sync.Mutex
	asked  pairInput
	last   *proposal
	orders map[orderQuestion]*runOrder
	// steps of the order confirmed last: they change with the pairs only, and then the order is asked anew
	stepsFor *confirmedOrder
	steps    []int64
}

func (s *state) pairInput() pairInput {
	o := s.batch
	if o == nil {
		return pairInput{}
	}
	in := pairInput{batch: o.body.ID, closed: !o.closed.IsZero(), planned: o.body.Planned, bent: len(o.ribs), target: o.target, confirmed: o.pairs, pairingState: o.pairing}
	for _, r := range o.ribs {
		if v := s.judge(o, r); v.Word != qc.Pass {
			in.left = append(in.left, LeftView{Rib: r.ID, Reason: string(v.Word) + ": " + v.Reason})
			continue
		}
		in.ready = append(in.ready, readyRib{id: r.ID, lot: r.Lot, version: r.version, dev: r.dev})
	}
	return in
}

// sameQuestion reports whether two inputs have the same proposal.
func sameQuestion(a, b pairInput) bool {
	return a.batch == b.batch && a.ruleOr() == b.ruleOr() && slices.Equal(a.barred, b.barred) &&
		slices.EqualFunc(a.locked, b.locked, func(x, y lockedPair) bool { return x.twoRibs == y.twoRibs }) &&
		slices.EqualFunc(a.ready, b.ready, func(x, y readyRib) bool { return x.id == y.id && x.lot == y.lot && slices.Equal(x.dev, y.dev) })
}

// propose finds the best pairs of the ribs that pass, by the batch's rule. The same record gives the same
// proposal, so that one seen in one process can be confirmed through another.
func (p *proposer) propose(in pairInput) *proposal {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.last == nil || !sameQuestion(p.asked, in) {
		p.last, p.asked = solvePairs(in), in
	}
	return p.last
}

// problem states the question; loose says of each lock that does not hold why.
func (in pairInput) problem() (q pairing.Problem, index map[string]int, loose []string) {
	r := in.ruleOr()
	q = pairing.Problem{
		Metric: pairing.RMS, Objective: pairing.Sum, LotPenalty: int64(r.OtherLot),
		Weights: pairing.Weights{Tip: r.Tip, Crown: r.Crown, Stations: slices.Repeat([]int64{r.Station}, in.target.StationPairs())},
	}
	if r.Metric == qc.PairMax {
		q.Metric = pairing.Max
	}
	if r.Objective == qc.PairWorst {
		q.Objective = pairing.WorstThenSum
	}
	if r.Limit > 0 {
		limit := int64(r.Limit)
		q.Limit = &limit
	}
	if r.Tip+r.Crown == 0 && len(q.Weights.Stations) == 0 {
		q.Weights.Tip = 1 // only stations were weighed and there are none
	}
	index = make(map[string]int, len(in.ready))
	for i, x := range in.ready {
		index[x.id] = i
		q.Ribs = append(q.Ribs, pairing.Rib{ID: x.id, Lot: x.lot, Dev: x.dev})
	}
	for _, l := range in.locked {
		a, okA := index[l.a]
		b, okB := index[l.b]
		switch {
		case !okA:
			loose = append(loose, fmt.Sprintf("The pair of %s and %s was locked; rib %s no longer passes.", l.a, l.b, l.a))
		case !okB:
			loose = append(loose, fmt.Sprintf("The pair of %s and %s was locked; rib %s no longer passes.", l.a, l.b, l.b))
		default:
			q.Locked = append(q.Locked, [2]int{a, b})
		}
	}
	for _, x := range in.barred {
		a, okA := index[x.a]
		b, okB := index[x.b]
		if okA && okB {
			q.Forbidden = append(q.Forbidden, [2]int{a, b})
		}
	}
	return q, index, loose
}

func solvePairs(in pairInput) *proposal {
	pr := &proposal{body: PairsBody{Batch: in.batch, Pairs: []PairBody{}, Spares: []string{}}, devs: map[string][]int32{}}
	pr.problem, pr.index, pr.loose = in.problem()
	for _, r := range in.ready {
		pr.devs[r.id] = r.dev
	}
	if pr.result, pr.err = pairing.Solve(pr.problem); pr.err != nil {
		return pr
	}
	res := pr.result
	sum := sha256.New()
	fmt.Fprintf(sum, "%q", in.batch)
	pr.body.SumNM, pr.body.LowerBound = res.Sum, res.LowerBound
	for _, x := range res.Pairs {
		b := PairBody{A: in.ready[x.A].id, B: in.ready[x.B].id, Flip: x.Flip, MismatchNM: x.Mismatch}
		if x.Locked {
			pr.body.SumNM += x.Cost
			pr.body.LowerBound += x.Cost
		}
		pr.body.Pairs = append(pr.body.Pairs, b)
		fmt.Fprintf(sum, "%q %q %v %d;", b.A, b.B, b.Flip, b.MismatchNM)
	}
	for _, l := range res.Unpaired {
		pr.body.Spares = append(pr.body.Spares, in.ready[l.Rib].id)
		pr.body.SpareWhy = append(pr.body.SpareWhy, l.Reason)
		fmt.Fprintf(sum, "%q;", in.ready[l.Rib].id)
	}
	pr.proof = proofText(pr.body, in.ruleOr(), len(pr.problem.Locked) > 0)
	pr.token = hex.EncodeToString(sum.Sum(nil)[:8])
	return pr
}

// proofText says what is proven of pairs.
func proofText(b PairsBody, rule qc.PairRule, locked bool) string {
	bound := fixed(nm(b.LowerBound), length.Micrometre) + " mm"
	text := "proven least: no pairing of these ribs into as many pairs has a sum below " + bound
	switch {
	case b.LowerBound != b.SumNM:
		text = "best found: no pairing of these ribs into as many pairs has a sum below " + bound
	case rule.Objective == qc.PairWorst:
		text = "proven best: no pairing of these ribs into as many pairs has a smaller largest mismatch, and with that none has a sum below " + bound
	}
	if locked {
		text += " with the locked pairs as they are"
	}
	return text
}

// outdated says why confirmed pairs no longer stand, or nothing.
func outdated(in pairInput) string {
	member := map[string]bool{}
	for _, x := range in.confirmed.Pairs {
		member[x.A], member[x.B] = true, true
	}
	for _, id := range in.confirmed.Spares {
		member[id] = true
	}
	passing := map[string]bool{}
	for _, r := range in.ready {
		passing[r.id] = true
		if !member[r.id] {
			return "rib " + r.id + " passed"
		}
		if r.version > in.confirmed.seq {
			return "rib " + r.id + " changed"
		}
	}
	if in.confirmed.rule != in.ruleOr() {
		return "the pairing rule changed"
	}
	for _, x := range in.confirmed.Pairs {
		for _, f := range in.barred {
			if f.is(x.A, x.B) {
				return "the pair of " + f.a + " and " + f.b + " was forbidden"
			}
		}
		if l, ok := in.lockOf(x.A); ok && !l.has(x.B) {
			return "ribs " + l.a + " and " + l.b + " were locked together"
		}
		if l, ok := in.lockOf(x.B); ok && !l.has(x.A) {
			return "ribs " + l.a + " and " + l.b + " were locked together"
		}
		for _, id := range []string{x.A, x.B} {
			if !passing[id] {
				return "rib " + id + " no longer passes"
			}
		}
	}
	for _, id := range in.confirmed.Spares {
		if !passing[id] {
			return "rib " + id + " no longer passes"
		}
	}
	return ""
}
