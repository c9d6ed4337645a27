package session

import (
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/pairing"
)

const tenthMM = 100 * length.Micrometre

// view shows the proposal, or the pairs as confirmed while they still stand.
func (p *proposer) view(in pairInput) *PairsView {
	if in.batch == "" || (len(in.ready) == 0 && in.confirmed == nil) {
		return nil
	}
	pr := p.propose(in)
	v := &PairsView{State: "provisional", Rule: in.ruleOr().String(), Pairs: []PairView{}, Spares: slices.Clone(pr.body.Spares),
		Left: append([]LeftView{}, in.left...), Loose: append([]string{}, pr.loose...), Proof: pr.proof, Token: pr.token}
	if pr.err != nil {
		v.Note, v.Proof = "No pairs can be proposed: "+pr.err.Error(), ""
		return v
	}
	body := pr.body
	if c := in.confirmed; c != nil {
		v.Confirmed = fmt.Sprintf("confirmed by %s, %s", c.By, c.at.Format("2 January 2006 15:04"))
		if why := outdated(in); why == "" {
			body, v.State = c.PairsBody, "confirmed"
			v.Proof = proofText(c.PairsBody, c.rule, c.locked)
			v.Spares, v.Note = slices.Clone(c.Spares), "The pairs are confirmed."
			v.Order = p.confirmedOrderView(in, pr)
		} else {
			v.State, v.Note = "outdated", "Since the pairs were confirmed "+why+": look at the new proposal and confirm again."
		}
	} else {
		v.Note = "A proposal from the ribs that pass so far; it may change with the next rib."
		if more := in.planned - in.bent; more > 0 {
			v.Note = fmt.Sprintf("Provisional: %d of %d ribs are still to come, and the pairs may change with each. Lock a pair that is good enough now.", more, in.planned)
		}
	}
	for i, why := range body.SpareWhy {
		v.Left = append(v.Left, LeftView{Rib: body.Spares[i], Reason: why})
	}
	tight := pr.result.Tight(10)
	turned := map[string]bool{} // one rib of each pair that the run order turns, so that both name the same legs
	if v.Order != nil {
		for _, s := range v.Order.Stands {
			turned[s.A] = s.Turned
		}
	}
	for _, x := range body.Pairs {
		pv := pairView(in, pr, x, turned[x.A])
		if v.State != "confirmed" && !pv.Locked {
			pv.Cost = "locking it now costs nothing against the ribs so far"
			pv.Good = len(pr.result.Pairs) > 1 && x.MismatchNM <= tight
		}
		v.Pairs = append(v.Pairs, pv)
	}
	v.Sum = fixed(nm(body.SumNM), tenthMM) + " mm"
	v.CanFix = v.State != "confirmed" && !in.closed && len(v.Pairs) > 0
	return v
}

func pairView(in pairInput, pr *proposal, x PairBody, turned bool) PairView {
	v := PairView{A: x.A, B: x.B, Flip: x.Flip, Turned: turned, How: "as they are", Mismatch: fixed(nm(x.MismatchNM), tenthMM) + " mm", Tag: tagText(x.A, x.B, x.Flip, turned)}
	switch {
	case x.Flip && turned: // the whole pair turned: the second stands as it was bent
		v.How = "turn " + x.A + " end for end"
	case x.Flip:
		v.How = "turn " + x.B + " end for end"
	case turned:
		v.How = "turn both end for end"
	}
	if l, ok := in.lockOf(x.A); ok && l.has(x.B) {
		v.Locked, v.Cost = true, costText(l.cost)
	}
	if place, diff := qc.LargestDifference(pr.devs[x.A], pr.devs[x.B], x.Flip); place >= 0 {
		id := in.target.PairPlaces()[place]
		v.At, v.Largest = string(id), in.label(id)+" "+fixed(max(diff, -diff), tenthMM)+" mm"
	}
	return v
}

// tagText says where the tag that names the pair is tied: to the two legs that stand together.
func tagText(a, b string, flip, turned bool) string {
	legA, legB := qc.TagLegs(flip, turned)
	return fmt.Sprintf("leg %c of %s with leg %c of %s", legA, a, legB, b)
}

// costText says what a lock cost when it was made.
func costText(c PairLockBody) string {
	switch {
	case !c.CostKnown:
		return "what the lock cost was not worked out"
	case c.FewerPairs > 0:
		return fmt.Sprintf("the lock cost %d pairs", c.FewerPairs)
	case c.SumNM <= 0 && c.WorstNM <= 0:
		return "the lock cost nothing against the ribs there were"
	default:
		return fmt.Sprintf("the lock cost %s mm in all against the best pairing of the ribs there were", fixed(max(nm(c.SumNM), 0), 10*length.Micrometre))
	}
}

// regretText says what locking two ribs would cost now.
func regretText(g pairing.Regret) string {
	switch {
	case g.Pairs > 0:
		return fmt.Sprintf("locking it now costs %d pairs", g.Pairs)
	case g.Sum <= 0 && g.Worst <= 0:
		return "locking it now costs nothing against the ribs so far"
	case g.Worst > 0:
		return fmt.Sprintf("locking it now costs %s mm in all, and the largest mismatch grows by %s mm", fixed(max(nm(g.Sum), 0), 10*length.Micrometre), fixed(nm(g.Worst), 10*length.Micrometre))
	default:
		return fmt.Sprintf("locking it now costs %s mm in all against the best pairing", fixed(nm(g.Sum), 10*length.Micrometre))
	}
}

func (in pairInput) label(id qc.CharID) string {
	if c, ok := in.target.Characteristic(id); ok {
		return c.Label()
	}
	return string(id)
}

// maxRegrets bounds how many partners are shown with what locking would cost, which needs a pairing each.
const maxRegrets = 6

// Partners lists the ribs that a rib may stand with, the most alike first, with what locking the pair now
// would cost. For a rib that is locked or confirmed in a pair already it says who else would have done.
// Errors are *CommandError.
func (b *Bench) Partners(rib string) ([]PartnerView, error) {
	in := b.shown.Load().pairs
	pr := b.pairing.propose(in)
	at, ok := pr.index[rib]
	switch {
	case in.batch == "":
		return nil, problem(CodeNoBatch, "batch", "open a batch first", "find partners of rib %q: no batch is open", rib)
	case !ok:
		return nil, problem(CodeUnknown, "rib", "give a rib of the batch that passes", "find partners of rib %q: batch %q has no such rib that passes", rib, in.batch)
	case pr.err != nil:
		return nil, problem(CodeBadValue, "pairs", "", "find partners of rib %q: %v", rib, pr.err)
	}
	q := pr.problem
	q.Locked = slices.DeleteFunc(slices.Clone(q.Locked), func(l [2]int) bool { return l[0] == at || l[1] == at })
	list, err := pairing.Partners(q, at)
	if err != nil {
		return nil, problem(CodeBadValue, "rib", "", "find partners of rib %q: %v", rib, err)
	}
	_, standing := in.lockOf(rib)
	out := []PartnerView{}
	for i, x := range list[:min(len(list), 12)] {
		body := PairBody{A: in.ready[x.A].id, B: in.ready[x.B].id, Flip: x.Flip, MismatchNM: x.Mismatch}
		v := PartnerView{PairView: pairView(in, pr, body, false), Partner: body.A, OneLot: in.ready[x.A].lot == in.ready[x.B].lot}
		if body.A == rib {
			v.Partner = body.B
		}
		if i < maxRegrets && len(in.ready) <= maxRegretRibs && !standing {
			if g, err := pr.problem.RegretAgainst(pr.result, x.A, x.B); err == nil {
				v.Cost = regretText(g)
			}
		}
		out = append(out, v)
	}
	return out, nil
}

// PairProof is the proof of the present proposal as a text that `springline pair prove` checks by itself.
func (b *Bench) PairProof() ([]byte, error) {
	in := b.shown.Load().pairs
	pr := b.pairing.propose(in)
	switch {
	case in.batch == "":
		return nil, problem(CodeNoBatch, "batch", "open a batch first", "prove the pairs: no batch is open")
	case pr.err != nil:
		return nil, problem(CodeBadValue, "pairs", "", "prove the pairs of batch %q: %v", in.batch, pr.err)
	}
	return pr.result.Certificate.MarshalText()
}
