package derive

import (
	"errors"
	"slices"

	"springline/qc/pairing"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// maxRegretRibs bounds the ribs up to which what a lock costs is worked out while others wait for it.
const maxRegretRibs = 500

const (
	maxPartners = 12
	maxRegrets  = 6 // of them with what locking the pair would cost, which needs a pairing each
)

// Partner is a rib that another may stand with.
type Partner struct {
	log.PairBody
	Id     string
	OneLot bool
	Cost   *pairing.Regret // of locking the pair now, nil where it was not worked out
}

// Partners are the ribs that a rib may stand with, the most alike first. For a rib that is locked in a pair
// already they are those that would have done.
func (p Pairs) Partners(rib string) ([]Partner, error) {
	at, ok := p.index[rib]
	switch {
	case p.Batch == "":
		return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "find partners of rib %q: no batch is open", rib)
	case !ok:
		return nil, words.Problem(words.CodeUnknown, "rib", "give a rib of the batch that passes",
			"find partners of rib %q: batch %q has no such rib that passes", rib, p.Batch)
	case p.Err != nil:
		return nil, words.Problem(words.CodeBadValue, "pairs", "", "find partners of rib %q: %v", rib, p.Err)
	}
	q := p.Problem
	q.Locked = slices.DeleteFunc(slices.Clone(q.Locked), func(l [2]int) bool { return l[0] == at || l[1] == at })
	list, err := pairing.Partners(q, at)
	if err != nil {
		return nil, words.Problem(words.CodeBadValue, "rib", "", "find partners of rib %q: %v", rib, err)
	}
	_, standing := p.LockOf(rib)
	var out []Partner
	for i, x := range list[:min(len(list), maxPartners)] {
		v := Partner{PairBody: p.bodyOf(x), OneLot: p.Ready[x.A].lot == p.Ready[x.B].lot}
		v.Id = book.TwoRibs{A: v.A, B: v.B}.Other(rib)
		if i < maxRegrets && len(p.Ready) <= maxRegretRibs && !standing {
			if g, err := p.Problem.RegretAgainst(p.Result, x.A, x.B); err == nil {
				v.Cost = &g
			}
		}
		out = append(out, v)
	}
	return out, nil
}

// ErrBeyondLimit says that two ribs differ by more than the pairing rule allows.
var ErrBeyondLimit = errors.New("their mismatch is beyond the limit")

// Cost is what locking two ribs that pass makes of them and costs against the best pairing; of more than
// maxRegretRibs ribs what it costs is not worked out. Who locks them is left open. The error says why they cannot
// be a pair; it is errBeyondLimit where only the rule's limit is against it.
func (p Pairs) Cost(a, b string) (log.PairLockBody, error) {
	body := log.PairLockBody{Batch: p.Batch}
	at := [2]int{p.index[a], p.index[b]}
	if len(p.Ready) <= maxRegretRibs {
		g, err := p.Problem.RegretAgainst(p.Result, at[0], at[1])
		if err != nil {
			return body, err
		}
		body.PairBody = log.PairBody{A: a, B: b, Flip: g.Pair.Flip, MismatchNM: g.Pair.Mismatch}
		body.CostKnown, body.FewerPairs, body.SumNM, body.WorstNM = true, g.Pairs, g.Sum, g.Worst
		return body, nil
	}
	list, err := pairing.Partners(p.Problem, at[0])
	if err != nil {
		return body, err
	}
	i := slices.IndexFunc(list, func(x pairing.Pair) bool { return x.A == at[1] || x.B == at[1] })
	if i < 0 {
		return body, ErrBeyondLimit
	}
	body.PairBody = log.PairBody{A: a, B: b, Flip: list[i].Flip, MismatchNM: list[i].Mismatch}
	return body, nil
}

// Proof is the proof of the present proposal as a text that `springline pair prove` checks by itself.
func (p Pairs) Proof() ([]byte, error) {
	switch {
	case p.Batch == "":
		return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "prove the pairs: no batch is open")
	case p.Err != nil:
		return nil, words.Problem(words.CodeBadValue, "pairs", "", "prove the pairs of batch %q: %v", p.Batch, p.Err)
	}
	return p.Result.Certificate.MarshalText()
}
