package session

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/pairing"
)

// orderQuestion is a run order asked for: the confirmed pairs and the ends wanted.
type orderQuestion struct {
	pairs       int64 // record that confirmed them
	first, last string
}

// runOrder is the best order found.
type runOrder struct {
	body  OrderBody
	steps []int64 // mismatch to the pair before; the first is zero
	token string
	err   error
}

// shortRun is the number of pairs up to which a run order is worked out whenever the pairs are looked at:
// that many are solved exactly and at once.
const shortRun = 16

// order finds the run order of the confirmed pairs, once for every question.
func (p *proposer) order(in pairInput, pr *proposal, first, last string) *runOrder {
	q := orderQuestion{in.confirmed.seq, first, last}
	p.mu.Lock()
	known := p.orders[q]
	p.mu.Unlock()
	if known != nil {
		return known
	}
	r := solveOrder(in, pr, first, last)
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.orders == nil || len(p.orders) > 20 {
		p.orders = map[orderQuestion]*runOrder{}
	}
	p.orders[q] = r
	return r
}

// knows reports whether an order has been worked out.
func (p *proposer) knows(in pairInput, first, last string) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.orders[orderQuestion{in.confirmed.seq, first, last}] != nil
}

func solveOrder(in pairInput, pr *proposal, first, last string) *runOrder {
	r := &runOrder{body: OrderBody{Batch: in.batch, Order: []StandBody{}}}
	pairs := make([][2]int, len(in.confirmed.Pairs))
	opt := pairing.PathOptions{}
	for i, x := range in.confirmed.Pairs {
		pairs[i] = [2]int{pr.index[x.A], pr.index[x.B]}
		if first != "" && (x.A == first || x.B == first) {
			opt.Start = &i
		}
		if last != "" && (x.A == last || x.B == last) {
			opt.End = &i
		}
	}
	for _, end := range []struct {
		field, rib string
		at         *int
	}{{"first", first, opt.Start}, {"last", last, opt.End}} {
		if end.rib != "" && end.at == nil {
			r.err = problem(CodeUnknown, end.field, "name a rib of a confirmed pair", "work out the run order: rib %q is in no confirmed pair", end.rib)
			return r
		}
	}
	if opt.Start != nil && opt.End != nil && *opt.Start == *opt.End && len(pairs) > 1 {
		r.err = problem(CodeBadValue, "last", "name another pair", "work out the run order: ribs %q and %q are one pair, which cannot stand at both ends", first, last)
		return r
	}
	o, err := pairing.OrderPairs(pr.problem, pairs, opt)
	if err != nil {
		r.err = problem(CodeBadValue, "pairs", "", "work out the run order of batch %q: %v", in.batch, err)
		return r
	}
	r.body.LengthNM, r.body.LowerBound = o.Length, o.LowerBound
	sum := sha256.New()
	fmt.Fprintf(sum, "%q %d", in.batch, in.confirmed.seq)
	for i, at := range o.Order {
		x := in.confirmed.Pairs[at]
		s := StandBody{A: x.A, B: x.B, Turned: o.Turned[i]}
		r.body.Order = append(r.body.Order, s)
		fmt.Fprintf(sum, "%q %q %v;", s.A, s.B, s.Turned)
	}
	r.steps = stepsOf(pr, r.body.Order)
	r.token = hex.EncodeToString(sum.Sum(nil)[:8])
	return r
}

// stepsOf is how much each pair of an order differs from the one before.
func stepsOf(pr *proposal, order []StandBody) []int64 {
	steps := make([]int64, len(order))
	for i := 1; i < len(order); i++ {
		two := make([][2]int, 2)
		for k, s := range order[i-1 : i+1] {
			two[k] = [2]int{pr.index[s.A], pr.index[s.B]}
		}
		if o, err := pairing.OrderPairs(pr.problem, two, pairing.PathOptions{}); err == nil {
			steps[i] = o.Length
		}
	}
	return steps
}

// confirmedOrderView is the run order as confirmed or, for runs that are worked out at once, as found.
func (p *proposer) confirmedOrderView(in pairInput, pr *proposal) *OrderView {
	if o := in.pairingState.order; o != nil {
		p.mu.Lock()
		if p.stepsFor != o {
			p.stepsFor, p.steps = o, stepsOf(pr, o.Order)
		}
		r := &runOrder{body: o.OrderBody, steps: p.steps}
		p.mu.Unlock()
		v := orderView(in, r)
		v.State, v.Confirmed = "confirmed", o.said()
		return v
	}
	if len(in.confirmed.Pairs) > shortRun || len(in.confirmed.Pairs) < 2 {
		return nil
	}
	r := p.order(in, pr, "", "")
	if r.err != nil {
		return nil
	}
	return orderView(in, r)
}

func (o confirmedOrder) said() string {
	return fmt.Sprintf("confirmed by %s, %s", o.By, o.at.Format("2 January 2006 15:04"))
}

func orderView(in pairInput, r *runOrder) *OrderView {
	v := &OrderView{State: "provisional", Stands: []StandView{}, Token: r.token, CanFix: !in.closed, Length: fixed(nm(r.body.LengthNM), tenthMM) + " mm"}
	v.Proof = "proven shortest: no order of these pairs has smaller steps in all"
	if b, l := r.body.LowerBound, r.body.LengthNM; l > b {
		v.Proof = fmt.Sprintf("best found; no order can be below %s mm, so it is within %s of the shortest", fixed(nm(b), tenthMM), gap(l, b))
	}
	flips := map[string]bool{}
	for _, x := range in.confirmed.Pairs {
		flips[x.A] = x.Flip
	}
	for i, s := range r.body.Order {
		sv := StandView{Place: i + 1, A: s.A, B: s.B, Turned: s.Turned, Tag: tagText(s.A, s.B, flips[s.A], s.Turned)}
		if i > 0 {
			sv.Step = fixed(nm(r.steps[i]), tenthMM) + " mm"
		}
		v.Stands = append(v.Stands, sv)
	}
	return v
}

// gap is how far a length may be above the least there can be.
func gap(l, bound int64) string {
	if permille, ok := qc.PathGap(nm(l), nm(bound)); ok {
		return fmt.Sprintf("%d.%d %%", permille/10, permille%10)
	}
	return fixed(nm(l-bound), length.Micrometre) + " mm"
}

// RunOrder works out the order of the confirmed pairs in which neighbours differ least, with a rib of the
// pair that stands first or last where one is wanted. Errors are *CommandError.
func (b *Bench) RunOrder(first, last string) (OrderView, error) {
	in := b.shown.Load().pairs
	r, err := b.runOrder(in, first, last)
	if err != nil {
		return OrderView{}, err
	}
	v := orderView(in, r)
	v.First, v.Last = first, last
	if o := in.pairingState.order; o != nil && slices.Equal(o.Order, r.body.Order) {
		v.State, v.Confirmed = "confirmed", o.said()
	}
	return *v, nil
}

func (b *Bench) runOrder(in pairInput, first, last string) (*runOrder, error) {
	if in.batch == "" {
		return nil, problem(CodeNoBatch, "batch", "open a batch first", "work out the run order: no batch is open")
	}
	if in.confirmed == nil {
		return nil, problem(CodeMissing, "pairs", "confirm the pairs first", "work out the run order: no pairs of batch %q are confirmed", in.batch)
	}
	if why := outdated(in); why != "" {
		return nil, problem(CodeConflict, "pairs", "confirm the pairs again", "work out the run order of batch %q: since the pairs were confirmed %s", in.batch, why)
	}
	r := b.pairing.order(in, b.pairing.propose(in), first, last)
	return r, r.err
}

// confirmOrder records the very order that the person saw.
func (b *Bench) confirmOrder(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if c.By == "" {
		return event{}, problem(CodeMissing, "by", "say who confirms", "confirming the run order needs a person")
	}
	in := b.state.pairInput()
	if in.confirmed != nil && len(in.confirmed.Pairs) > shortRun && !b.pairing.knows(in, c.First, c.Last) {
		// Working it out would keep the gauges waiting.
		return event{}, problem(CodeConflict, "token", "work the run order out and confirm what is shown", "the run order of batch %q has not been worked out yet", o.body.ID)
	}
	r, err := b.runOrder(in, c.First, c.Last)
	if err != nil {
		return event{}, err
	}
	if c.Token != r.token {
		return event{}, problem(CodeConflict, "token", "look at the run order as it is now and confirm that one",
			"the run order of batch %q has changed since it was shown (%q, now %q)", o.body.ID, c.Token, r.token)
	}
	body := r.body
	body.Order = slices.Clone(body.Order)
	body.By, body.Key = c.By, c.Key
	return event{OrderConfirmed, body}, nil
}
