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
	target    qc.Target
	stations  int
	ready     []readyRib
	left      []LeftView
	confirmed *confirmed
}

// readyRib is a complete rib that passes.
type readyRib struct {
	id, lot string
	version int64
	dev     []int32
}

// proposal is an optimal set of pairs for one input, and the name under which it may be confirmed.
type proposal struct {
	body  PairsBody
	devs  map[string][]int32
	views []PairView
	proof string
	token string
	err   error
}

// proposer keeps the last proposal: it is worked out when it is looked at, and once.
type proposer struct {
	mu    sync.Mutex
	ready []readyRib
	batch string
	last  *proposal
}

// stationsOf counts the mirrored station pairs of a target's round: A1..Ak with B1..Bk.
func stationsOf(t qc.Target) int {
	for k := 1; ; k++ {
		_, a := t.Characteristic(qc.StationID('A', k))
		_, b := t.Characteristic(qc.StationID('B', k))
		if !a || !b {
			return k - 1
		}
	}
}

// pairDeviations gives tip, crown, A1..Ak, B1..Bk in micrometres for a rib that passes, nil for any other.
// What the round leaves out counts as fitting.
func pairDeviations(o *batch, r *rib) []int32 {
	if r.fault != nil || r.verdict.Word != qc.Pass {
		return nil
	}
	k := stationsOf(o.target)
	um := func(c qc.CharID) int32 {
		j, ok := r.verdict.Of(c)
		if !ok || !j.Measured {
			return 0
		}
		return int32(j.Dev.Dev.Round(length.Micrometre, length.TieEven) / length.Micrometre)
	}
	dev := make([]int32, 0, 2+2*k)
	dev = append(dev, um(qc.Tip), um(qc.Crown))
	for _, side := range []byte{'A', 'B'} {
		for i := 1; i <= k; i++ {
			dev = append(dev, um(qc.StationID(side, i)))
		}
	}
	return dev
}

func (s *state) pairInput() pairInput {
	o := s.batch
	if o == nil {
		return pairInput{}
	}
	in := pairInput{batch: o.body.ID, closed: !o.closed.IsZero(), target: o.target, stations: stationsOf(o.target), confirmed: o.pairs}
	for _, r := range o.ribs {
		if v := s.judge(o, r); v.Word != qc.Pass {
			in.left = append(in.left, LeftView{Rib: r.ID, Reason: string(v.Word) + ": " + v.Reason})
			continue
		}
		in.ready = append(in.ready, readyRib{id: r.ID, lot: r.Lot, version: r.version, dev: r.dev})
	}
	return in
}

func sameRibs(a, b []readyRib) bool {
	return slices.EqualFunc(a, b, func(x, y readyRib) bool { return x.id == y.id && x.lot == y.lot && slices.Equal(x.dev, y.dev) })
}

// propose finds the pairs with the least total mismatch, every characteristic with the same weight.
func (p *proposer) propose(in pairInput) *proposal {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.last == nil || p.batch != in.batch || !sameRibs(p.ready, in.ready) {
		p.last, p.ready, p.batch = solvePairs(in), in.ready, in.batch
	}
	return p.last
}

func solvePairs(in pairInput) *proposal {
	pr := &proposal{body: PairsBody{Batch: in.batch, Pairs: []PairBody{}, Spares: []string{}}, devs: map[string][]int32{}}
	q := pairing.Problem{
		Metric: pairing.RMS, Objective: pairing.Sum,
		Weights: pairing.Weights{Tip: 1, Crown: 1, Stations: slices.Repeat([]int64{1}, in.stations)},
	}
	for _, r := range in.ready {
		q.Ribs = append(q.Ribs, pairing.Rib{ID: r.id, Lot: r.lot, Dev: r.dev})
		pr.devs[r.id] = r.dev
	}
	res, err := pairing.Solve(q)
	if err != nil {
		pr.err = err
		return pr
	}
	sum := sha256.New()
	fmt.Fprintf(sum, "%q", in.batch)
	for _, x := range res.Pairs {
		b := PairBody{A: in.ready[x.A].id, B: in.ready[x.B].id, Flip: x.Flip, MismatchNM: x.Mismatch}
		pr.body.Pairs = append(pr.body.Pairs, b)
		fmt.Fprintf(sum, "%q %q %v %d;", b.A, b.B, b.Flip, b.MismatchNM)
	}
	for _, l := range res.Unpaired {
		pr.body.Spares = append(pr.body.Spares, in.ready[l.Rib].id)
		fmt.Fprintf(sum, "%q;", in.ready[l.Rib].id)
	}
	pr.body.SumNM, pr.body.LowerBound = res.Sum, res.LowerBound
	pr.proof = "least found"
	if res.Optimal {
		pr.proof = "proven least: no pairing of these ribs has a sum below " + fixed(nm(res.LowerBound), length.Micrometre) + " mm"
	}
	for _, x := range pr.body.Pairs {
		pr.views = append(pr.views, pairView(in, pr, x))
	}
	pr.token = hex.EncodeToString(sum.Sum(nil)[:8])
	return pr
}

// view shows the proposal, or the pairs as confirmed while they still stand.
func (p *proposer) view(in pairInput) *PairsView {
	if in.batch == "" || (len(in.ready) == 0 && in.confirmed == nil) {
		return nil
	}
	pr := p.propose(in)
	v := &PairsView{State: "provisional", Pairs: []PairView{}, Spares: slices.Clone(pr.body.Spares), Left: append([]LeftView{}, in.left...), Proof: pr.proof, Token: pr.token}
	if pr.err != nil {
		v.Note, v.Proof = "No pairs can be proposed: "+pr.err.Error(), ""
		return v
	}
	body, views := pr.body, pr.views
	if c := in.confirmed; c != nil {
		v.Confirmed = fmt.Sprintf("confirmed by %s, %s", c.By, c.at.Format("2 January 2006 15:04"))
		if why := outdated(in); why == "" {
			body, v.State, views = c.PairsBody, "confirmed", nil
			for _, x := range body.Pairs {
				views = append(views, pairView(in, pr, x))
			}
			v.Spares, v.Note = slices.Clone(c.Spares), "The pairs are confirmed."
		} else {
			v.State, v.Note = "outdated", "Since the pairs were confirmed "+why+": look at the new proposal and confirm again."
		}
	} else {
		v.Note = "A proposal from the ribs that pass so far; it may change with the next rib."
	}
	v.Pairs = append(v.Pairs, views...)
	v.Sum = fixed(nm(body.SumNM), 100*length.Micrometre) + " mm"
	v.CanFix = v.State != "confirmed" && !in.closed && len(v.Pairs) > 0
	return v
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
	for _, x := range in.confirmed.Pairs {
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

func pairView(in pairInput, pr *proposal, x PairBody) PairView {
	v := PairView{A: x.A, B: x.B, Flip: x.Flip, How: "as they are", Mismatch: fixed(nm(x.MismatchNM), 100*length.Micrometre) + " mm"}
	if x.Flip {
		v.How = "turn " + x.B + " end for end"
	}
	a, b := pr.devs[x.A], pr.devs[x.B]
	if len(a) == 0 || len(a) != len(b) {
		return v
	}
	k := in.stations
	most, at := int32(-1), 0
	for i := range a {
		j := i
		if x.Flip && i >= 2 { // A1..Ak of one against B1..Bk of the other
			j = 2 + (i-2+k)%(2*k)
		}
		if d := max(a[i]-b[j], b[j]-a[i]); d > most {
			most, at = d, i
		}
	}
	v.Largest = in.name(at) + " " + (length.Length(most)*length.Micrometre).Text(length.MM, 100*length.Micrometre) + " mm"
	return v
}

// name is the label of deviation i.
func (in pairInput) name(i int) string {
	id := qc.Tip
	switch {
	case i == 1:
		id = qc.Crown
	case i >= 2 && i < 2+in.stations:
		id = qc.StationID('A', i-1)
	case i >= 2+in.stations:
		id = qc.StationID('B', i-1-in.stations)
	}
	if c, ok := in.target.Characteristic(id); ok {
		return c.Label()
	}
	return string(id)
}

// confirmPairs records the very proposal that the person saw.
func (b *Bench) confirmPairs(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if c.By == "" {
		return event{}, problem(CodeMissing, "by", "say who confirms", "confirming pairs needs a person")
	}
	pr := b.pairing.propose(b.state.pairInput())
	switch {
	case pr.err != nil:
		return event{}, problem(CodeBadValue, "pairs", "", "no pairs can be proposed for batch %q: %v", o.body.ID, pr.err)
	case len(pr.body.Pairs) == 0:
		return event{}, problem(CodeBadValue, "pairs", "measure more ribs", "batch %q has no two ribs that pass", o.body.ID)
	case c.Token != pr.token:
		return event{}, problem(CodeConflict, "token", "look at the pairs as they are now and confirm those",
			"the pairs of batch %q have changed since they were shown (%q, now %q)", o.body.ID, c.Token, pr.token)
	}
	body := pr.body
	body.By, body.Key = c.By, c.Key
	return event{PairsConfirmed, body}, nil
}
