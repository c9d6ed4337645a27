package session

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"

	"springline/qc"
	"springline/qc/pairing"
	"springline/qc/words"
)

// pairInput is what the pairs follow from.
type pairInput struct {
	batch     string // empty where none was opened
	closed    bool
	planned   int
	bent      int
	target    qc.Target
	ready     []readyRib
	left      []leftRib
	confirmed *confirmed
	keep      []PairBody // of the pairs confirmed before, once they no longer stand: kept where that costs nothing
	pairingState
}

// readyRib is a complete rib that passes.
type readyRib struct {
	id, lot string
	version int64
	dev     []int32
}

// leftRib is a rib that cannot be paired, with the verdict that says why.
type leftRib struct {
	rib     string
	verdict qc.Verdict
}

// proposal is an optimal set of pairs for one input, and the name under which it may be confirmed.
type proposal struct {
	problem pairing.Problem
	result  pairing.Result
	body    PairsBody
	index   map[string]int  // of a rib in the problem
	loose   []words.Finding // locks that do not hold
	token   string
	err     error // why no pairs can be proposed
}

// pairs are the pairs of the batch on the bench: what was decided of them, and the best there are.
type pairs struct {
	pairInput
	*proposal
	kept *lastAnswers
}

func pairInputOf(s *state, ribs []*Judged) pairInput {
	o := s.batch
	if o == nil {
		return pairInput{}
	}
	in := pairInput{
		batch: o.body.ID, closed: !o.closed.IsZero(), planned: o.body.Planned, bent: len(o.ribs), target: o.target,
		confirmed: o.pairs, pairingState: o.pairing,
	}
	for i, r := range o.ribs {
		if v := ribs[i].Verdict; v.Word != qc.Pass {
			in.left = append(in.left, leftRib{r.ID, v})
			continue
		}
		in.ready = append(in.ready, readyRib{id: r.ID, lot: r.Lot, version: r.version, dev: ribs[i].Dev})
	}
	return in
}

// same reports whether two inputs have the same proposal.
func (in pairInput) same(b pairInput) bool {
	return in.batch == b.batch && in.ruleOr() == b.ruleOr() && slices.Equal(in.barred, b.barred) && slices.Equal(in.keep, b.keep) &&
		slices.EqualFunc(in.locked, b.locked, func(x, y lockedPair) bool { return x.twoRibs == y.twoRibs }) &&
		slices.EqualFunc(in.ready, b.ready, func(x, y readyRib) bool { return x.id == y.id && x.lot == y.lot && slices.Equal(x.dev, y.dev) })
}

// pairs are the best pairs of the ribs that pass, by the batch's rule; of equally good ones those that keep the
// most of what was confirmed before, since those ribs may be tagged and stacked by it. The same record gives the
// same proposal, so that one seen in one process can be confirmed through another: hence nothing is kept of what
// was only shown.
func (d *derived) pairs() pairs {
	in := d.pair
	if in.outdated() != nil {
		in.keep = in.confirmed.Pairs
	}
	return pairs{in, d.kept.proposal.to(in, in.solve), d.kept}
}

// question states what is asked of the solver; index says which rib is which in it.
func (in pairInput) question() (q pairing.Problem, index map[string]int, loose []words.Finding) {
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
			loose = append(loose, words.LockLoose{A: l.a, B: l.b, Fails: l.a})
		case !okB:
			loose = append(loose, words.LockLoose{A: l.a, B: l.b, Fails: l.b})
		default:
			q.Locked = append(q.Locked, [2]int{a, b})
		}
	}
	both := func(a, b string) ([2]int, bool) {
		x, okA := index[a]
		y, okB := index[b]
		return [2]int{x, y}, okA && okB
	}
	for _, x := range in.barred {
		if two, ok := both(x.a, x.b); ok {
			q.Forbidden = append(q.Forbidden, two)
		}
	}
	for _, x := range in.keep {
		if two, ok := both(x.A, x.B); ok {
			q.Prefer = append(q.Prefer, two)
		}
	}
	return q, index, loose
}

func (in pairInput) solve() *proposal {
	pr := &proposal{body: PairsBody{Batch: in.batch, Pairs: []PairBody{}, Spares: []string{}}}
	pr.problem, pr.index, pr.loose = in.question()
	if pr.result, pr.err = pairing.Solve(pr.problem); pr.err != nil {
		return pr
	}
	res := pr.result
	named := strconv.AppendQuote(nil, in.batch)
	pr.body.SumNM, pr.body.LowerBound = res.Sum, res.LowerBound
	for _, x := range res.Pairs {
		b := in.bodyOf(x)
		if x.Locked {
			pr.body.SumNM += x.Cost
			pr.body.LowerBound += x.Cost
		}
		pr.body.Pairs = append(pr.body.Pairs, b)
		named = appendPair(named, b.A, b.B, b.Flip)
		named = append(strconv.AppendInt(append(named, ' '), b.MismatchNM, 10), ';')
	}
	for _, l := range res.Unpaired {
		pr.body.Spares = append(pr.body.Spares, in.ready[l.Rib].id)
		pr.body.SparesWhy = append(pr.body.SparesWhy, words.Said{Of: l.Why})
		named = append(strconv.AppendQuote(named, in.ready[l.Rib].id), ';')
	}
	pr.token = tokenFor(named)
	return pr
}

// appendPair writes a pair as tokens name it; a turn is that of the second rib, or of the whole pair.
func appendPair(b []byte, first, second string, turned bool) []byte {
	b = strconv.AppendQuote(b, first)
	b = strconv.AppendQuote(append(b, ' '), second)
	return strconv.AppendBool(append(b, ' '), turned)
}

// tokenFor names what a person saw.
func tokenFor(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:8])
}

// dev are the deviations of a rib that passes, nil of any other.
func (p pairs) dev(rib string) []int32 {
	if i, ok := p.index[rib]; ok {
		return p.ready[i].dev
	}
	return nil
}

func (in pairInput) bodyOf(x pairing.Pair) PairBody {
	return PairBody{A: in.ready[x.A].id, B: in.ready[x.B].id, Flip: x.Flip, MismatchNM: x.Mismatch}
}
