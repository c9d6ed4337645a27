package derive

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"strconv"

	"springline/qc"
	"springline/qc/pairing"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// pairInput is what the pairs follow from.
type pairInput struct {
	Batch     string // empty where none was opened
	Closed    bool
	Planned   int
	Bent      int
	Target    qc.Target
	Ready     []readyRib
	Left      []leftRib
	Confirmed *book.Confirmed
	keep      []log.PairBody // of the pairs confirmed before, once they no longer stand: kept where that costs nothing
	book.PairingState
}

// readyRib is a complete rib that passes.
type readyRib struct {
	id, lot string
	version int64
	dev     []int32
}

// leftRib is a rib that cannot be paired, with the verdict that says why.
type leftRib struct {
	Rib     string
	Verdict qc.Verdict
}

// proposal is an optimal set of pairs for one input, and the name under which it may be confirmed.
type proposal struct {
	Problem pairing.Problem
	Result  pairing.Result
	Body    log.PairsBody
	index   map[string]int  // of a rib in the problem
	Loose   []words.Finding // locks that do not hold
	Token   string
	Err     error // why no pairs can be proposed
}

// Pairs are the pairs of the batch on the bench: what was decided of them, and the best there are.
type Pairs struct {
	pairInput
	*proposal
	kept *LastAnswers
}

func pairInputOf(s *book.Book, ribs []*Judged) pairInput {
	o := s.Batch
	if o == nil {
		return pairInput{}
	}
	in := pairInput{
		Batch: o.Body.ID, Closed: !o.Closed.IsZero(), Planned: o.Body.Planned, Bent: len(o.Ribs), Target: o.Target,
		Confirmed: o.Pairs, PairingState: o.Pairing,
	}
	for i, r := range o.Ribs {
		if v := ribs[i].Verdict; v.Word != qc.Pass {
			in.Left = append(in.Left, leftRib{r.ID, v})
			continue
		}
		in.Ready = append(in.Ready, readyRib{id: r.ID, lot: r.Lot, version: r.Version, dev: ribs[i].Dev})
	}
	return in
}

// same reports whether two inputs have the same proposal.
func (in pairInput) same(b pairInput) bool {
	return in.Batch == b.Batch && in.RuleOr() == b.RuleOr() && slices.Equal(in.Barred, b.Barred) && slices.Equal(in.keep, b.keep) &&
		slices.EqualFunc(in.Locked, b.Locked, func(x, y book.LockedPair) bool { return x.TwoRibs == y.TwoRibs }) &&
		slices.EqualFunc(in.Ready, b.Ready, func(x, y readyRib) bool { return x.id == y.id && x.lot == y.lot && slices.Equal(x.dev, y.dev) })
}

// Pairs are the best pairs of the ribs that pass, by the batch's rule; of equally good ones those that keep the
// most of what was confirmed before, since those ribs may be tagged and stacked by it. The same record gives the
// same proposal, so that one seen in one process can be confirmed through another: hence nothing is kept of what
// was only shown.
func (d *Set) Pairs() Pairs {
	in := d.pair
	if in.Outdated() != nil {
		in.keep = in.Confirmed.Pairs
	}
	return Pairs{in, d.kept.proposal.to(in, in.solve), d.kept}
}

// question states what is asked of the solver; index says which rib is which in it.
func (in pairInput) question() (q pairing.Problem, index map[string]int, loose []words.Finding) {
	r := in.RuleOr()
	q = pairing.Problem{
		Metric: pairing.RMS, Objective: pairing.Sum, LotPenalty: int64(r.OtherLot),
		Weights: pairing.Weights{Tip: r.Tip, Crown: r.Crown, Stations: slices.Repeat([]int64{r.Station}, in.Target.StationPairs())},
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
	index = make(map[string]int, len(in.Ready))
	for i, x := range in.Ready {
		index[x.id] = i
		q.Ribs = append(q.Ribs, pairing.Rib{ID: x.id, Lot: x.lot, Dev: x.dev})
	}
	for _, l := range in.Locked {
		a, okA := index[l.A]
		b, okB := index[l.B]
		switch {
		case !okA:
			loose = append(loose, words.LockLoose{A: l.A, B: l.B, Fails: l.A})
		case !okB:
			loose = append(loose, words.LockLoose{A: l.A, B: l.B, Fails: l.B})
		default:
			q.Locked = append(q.Locked, [2]int{a, b})
		}
	}
	both := func(a, b string) ([2]int, bool) {
		x, okA := index[a]
		y, okB := index[b]
		return [2]int{x, y}, okA && okB
	}
	for _, x := range in.Barred {
		if two, ok := both(x.A, x.B); ok {
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
	pr := &proposal{Body: log.PairsBody{Batch: in.Batch, Pairs: []log.PairBody{}, Spares: []string{}}}
	pr.Problem, pr.index, pr.Loose = in.question()
	if pr.Result, pr.Err = pairing.Solve(pr.Problem); pr.Err != nil {
		return pr
	}
	res := pr.Result
	named := strconv.AppendQuote(nil, in.Batch)
	pr.Body.SumNM, pr.Body.LowerBound = res.Sum, res.LowerBound
	for _, x := range res.Pairs {
		b := in.bodyOf(x)
		if x.Locked {
			pr.Body.SumNM += x.Cost
			pr.Body.LowerBound += x.Cost
		}
		pr.Body.Pairs = append(pr.Body.Pairs, b)
		named = appendPair(named, b.A, b.B, b.Flip)
		named = append(strconv.AppendInt(append(named, ' '), b.MismatchNM, 10), ';')
	}
	for _, l := range res.Unpaired {
		pr.Body.Spares = append(pr.Body.Spares, in.Ready[l.Rib].id)
		pr.Body.SparesWhy = append(pr.Body.SparesWhy, words.Said{Of: l.Why})
		named = append(strconv.AppendQuote(named, in.Ready[l.Rib].id), ';')
	}
	pr.Token = tokenFor(named)
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

// Dev are the deviations of a rib that passes, nil of any other.
func (p Pairs) Dev(rib string) []int32 {
	if i, ok := p.index[rib]; ok {
		return p.Ready[i].dev
	}
	return nil
}

func (in pairInput) bodyOf(x pairing.Pair) log.PairBody {
	return log.PairBody{A: in.Ready[x.A].id, B: in.Ready[x.B].id, Flip: x.Flip, MismatchNM: x.Mismatch}
}
