package show

import (
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/pairing"
	"springline/qc/words"
	"springline/session/derive"
	"springline/session/log"
)

const TenthMM = 100 * length.Micrometre

// shownPairs shows the proposal, or the pairs as confirmed while they still stand; nil before any rib passed.
func shownPairs(p derive.Pairs) *PairsView {
	if p.Batch == "" || (len(p.Ready) == 0 && p.Confirmed == nil) {
		return nil
	}
	v := &PairsView{
		State: "provisional", Rule: p.RuleOr().String(), Token: p.Token,
		Pairs: []PairView{}, Spares: []string{}, Left: []LeftView{}, Loose: []string{},
	}
	for _, l := range p.Left {
		v.Left = append(v.Left, LeftView{Rib: l.Rib, Reason: string(l.Verdict.Word) + ": " + words.English.Say(l.Verdict.Why)})
	}
	for _, l := range p.Loose {
		v.Loose = append(v.Loose, words.English.Say(l))
	}
	if p.Err != nil {
		v.Note = "No pairs can be proposed: " + p.Err.Error()
		return v
	}
	body := p.Body
	v.Proof = proofText(body, p.RuleOr(), len(p.Problem.Locked) > 0)
	turned := map[string]bool{} // one rib of each pair that the run order turns, so that both name the same legs
	why := p.Outdated()
	switch c := p.Confirmed; {
	case c == nil:
		v.Note = "A proposal from the ribs that pass so far; it may change with the next rib."
		if more := p.Planned - p.Bent; more > 0 {
			v.Note = fmt.Sprintf("Provisional: %d of %d ribs are still to come, and the pairs may change with each. "+
				"Lock a pair that is good enough now.", more, p.Planned)
		}
	case why != nil:
		v.State, v.Confirmed = "outdated", confirmedText(c.By, c.At)
		v.Note = "Since the pairs were confirmed " + words.English.Say(why) + ": look at the new proposal and confirm again."
	default:
		v.State, v.Confirmed, v.Note = "confirmed", confirmedText(c.By, c.At), "The pairs are confirmed."
		body = c.PairsBody
		v.Proof = proofText(body, c.Rule, c.Locked)
		if r := p.StandingOrder(); r != nil {
			v.Order = ShownOrder(p, r, p.PairingState.Order)
			for _, s := range r.Body.Order {
				turned[s.A] = s.Turned
			}
		}
	}
	v.Spares = slices.Clone(body.Spares)
	for i, why := range body.WhySpare() {
		v.Left = append(v.Left, LeftView{Rib: body.Spares[i], Reason: words.English.Say(why)})
	}
	tight := p.Result.Tight(10)
	for _, x := range body.Pairs {
		pv := shownPair(p, x, turned[x.A])
		if v.State != "confirmed" && !pv.Locked {
			pv.Cost = regretText(pairing.Regret{}) // they are of the best pairing
			pv.Good = len(p.Result.Pairs) > 1 && x.MismatchNM <= tight
		}
		v.Pairs = append(v.Pairs, pv)
	}
	v.Sum = words.Fixed(length.Length(body.SumNM), TenthMM) + " mm"
	v.CanFix = v.State != "confirmed" && !p.Closed && len(v.Pairs) > 0
	return v
}

func confirmedText(by string, at time.Time) string {
	return fmt.Sprintf("confirmed by %s, %s", by, at.Format("2 January 2006 15:04"))
}

// proofText says what is proven of pairs.
func proofText(b log.PairsBody, rule qc.PairRule, locked bool) string {
	bound := words.Fixed(length.Length(b.LowerBound), length.Micrometre) + " mm"
	text := "proven least: no pairing of these ribs into as many pairs has a sum below " + bound
	switch {
	case b.LowerBound != b.SumNM:
		text = "best found: no pairing of these ribs into as many pairs has a sum below " + bound
	case rule.Objective == qc.PairWorst:
		text = "proven best: no pairing of these ribs into as many pairs has a smaller largest mismatch, " +
			"and with that none has a sum below " + bound
	}
	if locked {
		text += " with the locked pairs as they are"
	}
	return text
}

func shownPair(p derive.Pairs, x log.PairBody, turned bool) PairView {
	v := PairView{
		A: x.A, B: x.B, Flip: x.Flip, Turned: turned, How: "as they are", Mismatch: words.Fixed(length.Length(x.MismatchNM), TenthMM) + " mm",
		Tag: tagText(x.A, x.B, x.Flip, turned),
	}
	switch {
	case x.Flip && turned: // the whole pair turned: the second stands as it was bent
		v.How = "turn " + x.A + " end for end"
	case x.Flip:
		v.How = "turn " + x.B + " end for end"
	case turned:
		v.How = "turn both end for end"
	}
	if l, ok := p.LockOf(x.A); ok && l.Has(x.B) {
		v.Locked, v.Cost = true, costText(l.Cost)
	}
	if place, diff := qc.LargestDifference(p.Dev(x.A), p.Dev(x.B), x.Flip); place >= 0 {
		id := p.Target.PairPlaces()[place]
		v.At, v.Largest = string(id), label(p.Target, id)+" "+words.Fixed(max(diff, -diff), TenthMM)+" mm"
	}
	return v
}

// ShownPartners shows the ribs that a rib may stand with.
func ShownPartners(p derive.Pairs, list []derive.Partner) []PartnerView {
	out := make([]PartnerView, len(list))
	for i, x := range list {
		out[i] = PartnerView{PairView: shownPair(p, x.PairBody, false), Partner: x.Id, OneLot: x.OneLot}
		if x.Cost != nil {
			out[i].Cost = regretText(*x.Cost)
		}
	}
	return out
}

// tagText says where the tag that names the pair is tied: to the two legs that stand together.
func tagText(a, b string, flip, turned bool) string {
	legA, legB := qc.TagLegs(flip, turned)
	return fmt.Sprintf("leg %c of %s with leg %c of %s", legA, a, legB, b)
}

// costText says what a lock cost when it was made.
func costText(c log.PairLockBody) string {
	switch {
	case !c.CostKnown:
		return "what the lock cost was not worked out"
	case c.FewerPairs > 0:
		return fmt.Sprintf("the lock cost %d pairs", c.FewerPairs)
	case c.SumNM <= 0 && c.WorstNM <= 0:
		return "the lock cost nothing against the ribs there were"
	default:
		return fmt.Sprintf("the lock cost %s mm in all against the best pairing of the ribs there were",
			words.Fixed(max(length.Length(c.SumNM), 0), 10*length.Micrometre))
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
		return fmt.Sprintf("locking it now costs %s mm in all, and the largest mismatch grows by %s mm",
			words.Fixed(max(length.Length(g.Sum), 0), 10*length.Micrometre), words.Fixed(length.Length(g.Worst), 10*length.Micrometre))
	default:
		return fmt.Sprintf("locking it now costs %s mm in all against the best pairing", words.Fixed(length.Length(g.Sum), 10*length.Micrometre))
	}
}

func label(t qc.Target, id qc.CharID) string {
	if c, ok := t.Characteristic(id); ok {
		return c.Label()
	}
	return string(id)
}
