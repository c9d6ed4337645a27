package derive

import (
	"strconv"
	"sync"

	"springline/qc/pairing"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// orderQuestion is a run order asked for: the confirmed pairs and the ends wanted.
type orderQuestion struct {
	pairs       int64 // record that confirmed them
	first, last string
}

// RunOrder is the best order found, or the one confirmed.
type RunOrder struct {
	Body  log.OrderBody
	Steps []int64 // mismatch to the pair before; the first is zero
	Token string  // of one that was found
	err   error
}

// orders are the run orders worked out last. It is safe for use by many goroutines.
type orders struct {
	mu    sync.Mutex
	known map[orderQuestion]*RunOrder
	// of the order confirmed last: they change with the pairs only, and then the order is asked anew
	stepsFor *book.ConfirmedOrder
	steps    []int64
}

// ShortRun is the number of pairs up to which a run order is worked out whenever the pairs are looked at:
// that many are solved exactly and at once.
const ShortRun = 16

// Order is the order of the confirmed pairs in which neighbours differ least, with a rib of the pair that
// stands first or last where one is wanted. It is worked out once for every question.
func (p Pairs) Order(first, last string) (*RunOrder, error) {
	if p.Batch == "" {
		return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "work out the run order: no batch is open")
	}
	if p.Confirmed == nil {
		return nil, words.Problem(words.CodeMissing, "pairs", "confirm the pairs first",
			"work out the run order: no pairs of batch %q are confirmed", p.Batch)
	}
	if why := p.Outdated(); why != nil {
		return nil, words.Problem(words.CodeConflict, "pairs", "confirm the pairs again",
			"work out the run order of batch %q: since the pairs were confirmed %s", p.Batch, words.English.Say(why))
	}
	q := orderQuestion{p.Confirmed.Seq, first, last}
	k := &p.kept.orders
	r := k.of(q)
	if r == nil {
		r = p.solveOrder(first, last)
		k.keep(q, r)
	}
	return r, r.err
}

// StandingOrder is the run order as confirmed or, for runs that are worked out at once, as found; nil where
// there is none.
func (p Pairs) StandingOrder() *RunOrder {
	if c := p.PairingState.Order; c != nil {
		k := &p.kept.orders
		k.mu.Lock()
		defer k.mu.Unlock()
		if k.stepsFor != c {
			k.stepsFor, k.steps = c, p.steps(c.Order)
		}
		return &RunOrder{Body: c.OrderBody, Steps: k.steps}
	}
	if n := len(p.Confirmed.Pairs); n > ShortRun || n < 2 {
		return nil
	}
	r, err := p.Order("", "")
	if err != nil {
		return nil
	}
	return r
}

// KnowsOrder reports whether an order has been worked out.
func (p Pairs) KnowsOrder(first, last string) bool {
	return p.kept.orders.of(orderQuestion{p.Confirmed.Seq, first, last}) != nil
}

func (k *orders) of(q orderQuestion) *RunOrder {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.known[q]
}

func (k *orders) keep(q orderQuestion, r *RunOrder) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.known == nil || len(k.known) > 20 {
		k.known = map[orderQuestion]*RunOrder{}
	}
	k.known[q] = r
}

func (p Pairs) solveOrder(first, last string) *RunOrder {
	r := &RunOrder{Body: log.OrderBody{Batch: p.Batch, Order: []log.StandBody{}}}
	pairs := make([][2]int, len(p.Confirmed.Pairs))
	opt := pairing.PathOptions{}
	for i, x := range p.Confirmed.Pairs {
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
	o, err := pairing.OrderPairs(p.Problem, pairs, opt)
	if err != nil {
		r.err = words.Problem(words.CodeBadValue, "pairs", "", "work out the run order of batch %q: %v", p.Batch, err)
		return r
	}
	r.Body.LengthNM, r.Body.LowerBound = o.Length, o.LowerBound
	named := strconv.AppendInt(append(strconv.AppendQuote(nil, p.Batch), ' '), p.Confirmed.Seq, 10)
	for i, at := range o.Order {
		x := p.Confirmed.Pairs[at]
		s := log.StandBody{A: x.A, B: x.B, Turned: o.Turned[i]}
		r.Body.Order = append(r.Body.Order, s)
		named = append(appendPair(named, s.A, s.B, s.Turned), ';')
	}
	r.Steps = p.steps(r.Body.Order)
	r.Token = tokenFor(named)
	return r
}

// steps are how much each pair of an order differs from the one before.
func (p Pairs) steps(order []log.StandBody) []int64 {
	steps := make([]int64, len(order))
	for i := 1; i < len(order); i++ {
		two := make([][2]int, 2)
		for k, s := range order[i-1 : i+1] {
			two[k] = [2]int{p.index[s.A], p.index[s.B]}
		}
		if o, err := pairing.OrderPairs(p.Problem, two, pairing.PathOptions{}); err == nil {
			steps[i] = o.Length
		}
	}
	return steps
}
