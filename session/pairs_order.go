package session

import (
	"strconv"
	"sync"

	"springline/qc/pairing"
	"springline/qc/words"
)

// orderQuestion is a run order asked for: the confirmed pairs and the ends wanted.
type orderQuestion struct {
	pairs       int64 // record that confirmed them
	first, last string
}

// runOrder is the best order found, or the one confirmed.
type runOrder struct {
	body  OrderBody
	steps []int64 // mismatch to the pair before; the first is zero
	token string  // of one that was found
	err   error
}

// orders are the run orders worked out last. It is safe for use by many goroutines.
type orders struct {
	mu    sync.Mutex
	known map[orderQuestion]*runOrder
	// of the order confirmed last: they change with the pairs only, and then the order is asked anew
	stepsFor *confirmedOrder
	steps    []int64
}

// shortRun is the number of pairs up to which a run order is worked out whenever the pairs are looked at:
// that many are solved exactly and at once.
const shortRun = 16

// order is the order of the confirmed pairs in which neighbours differ least, with a rib of the pair that
// stands first or last where one is wanted. It is worked out once for every question.
func (p pairs) order(first, last string) (*runOrder, error) {
	if p.batch == "" {
		return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "work out the run order: no batch is open")
	}
	if p.confirmed == nil {
		return nil, words.Problem(words.CodeMissing, "pairs", "confirm the pairs first",
			"work out the run order: no pairs of batch %q are confirmed", p.batch)
	}
	if why := p.outdated(); why != nil {
		return nil, words.Problem(words.CodeConflict, "pairs", "confirm the pairs again",
			"work out the run order of batch %q: since the pairs were confirmed %s", p.batch, words.English.Say(why))
	}
	q := orderQuestion{p.confirmed.seq, first, last}
	k := &p.kept.orders
	r := k.of(q)
	if r == nil {
		r = p.solveOrder(first, last)
		k.keep(q, r)
	}
	return r, r.err
}

// standingOrder is the run order as confirmed or, for runs that are worked out at once, as found; nil where
// there is none.
func (p pairs) standingOrder() *runOrder {
	if c := p.pairingState.order; c != nil {
		k := &p.kept.orders
		k.mu.Lock()
		defer k.mu.Unlock()
		if k.stepsFor != c {
			k.stepsFor, k.steps = c, p.steps(c.Order)
		}
		return &runOrder{body: c.OrderBody, steps: k.steps}
	}
	if n := len(p.confirmed.Pairs); n > shortRun || n < 2 {
		return nil
	}
	r, err := p.order("", "")
	if err != nil {
		return nil
	}
	return r
}

// knowsOrder reports whether an order has been worked out.
func (p pairs) knowsOrder(first, last string) bool {
	return p.kept.orders.of(orderQuestion{p.confirmed.seq, first, last}) != nil
}

func (k *orders) of(q orderQuestion) *runOrder {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.known[q]
}

func (k *orders) keep(q orderQuestion, r *runOrder) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.known == nil || len(k.known) > 20 {
		k.known = map[orderQuestion]*runOrder{}
	}
	k.known[q] = r
}

func (p pairs) solveOrder(first, last string) *runOrder {
	r := &runOrder{body: OrderBody{Batch: p.batch, Order: []StandBody{}}}
	pairs := make([][2]int, len(p.confirmed.Pairs))
	opt := pairing.PathOptions{}
	for i, x := range p.confirmed.Pairs {
		pairs[i] = [2]int{p.index[x.A], p.index[x.B]}
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
			r.err = words.Problem(words.CodeUnknown, end.field, "name a rib of a confirmed pair",
				"work out the run order: rib %q is in no confirmed pair", end.rib)
			return r
		}
	}
	if opt.Start != nil && opt.End != nil && *opt.Start == *opt.End && len(pairs) > 1 {
		r.err = words.Problem(words.CodeBadValue, "last", "name another pair",
			"work out the run order: ribs %q and %q are one pair, which cannot stand at both ends", first, last)
		return r
	}
	o, err := pairing.OrderPairs(p.problem, pairs, opt)
	if err != nil {
		r.err = words.Problem(words.CodeBadValue, "pairs", "", "work out the run order of batch %q: %v", p.batch, err)
		return r
	}
	r.body.LengthNM, r.body.LowerBound = o.Length, o.LowerBound
	named := strconv.AppendInt(append(strconv.AppendQuote(nil, p.batch), ' '), p.confirmed.seq, 10)
	for i, at := range o.Order {
		x := p.confirmed.Pairs[at]
		s := StandBody{A: x.A, B: x.B, Turned: o.Turned[i]}
		r.body.Order = append(r.body.Order, s)
		named = append(appendPair(named, s.A, s.B, s.Turned), ';')
	}
	r.steps = p.steps(r.body.Order)
	r.token = tokenFor(named)
	return r
}

// steps are how much each pair of an order differs from the one before.
func (p pairs) steps(order []StandBody) []int64 {
	steps := make([]int64, len(order))
	for i := 1; i < len(order); i++ {
		two := make([][2]int, 2)
		for k, s := range order[i-1 : i+1] {
			two[k] = [2]int{p.index[s.A], p.index[s.B]}
		}
		if o, err := pairing.OrderPairs(p.problem, two, pairing.PathOptions{}); err == nil {
			steps[i] = o.Length
		}
	}
	return steps
}
