package session

import (
	"errors"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// pairRule changes the rule by what the command names and leaves the rest.
func (b *Bench) pairRule(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	r := o.pairing.ruleOr()
	if c.Metric != "" {
		r.Metric = c.Metric
	}
	if c.Objective != "" {
		r.Objective = c.Objective
	}
	if c.Weights != "" {
		if r.Tip, r.Crown, r.Station, err = parseWeights(c.Weights); err != nil {
			return event{}, err
		}
	}
	for _, f := range []struct {
		name, text string
		to         *length.Length
	}{{"limit", c.Limit, &r.Limit}, {"other_lot", c.OtherLot, &r.OtherLot}} {
		switch f.text {
		case "":
		case "none":
			*f.to = 0
		default:
			l, err := length.Parse(f.text, length.Options{DefaultUnit: length.MM})
			if err != nil {
				return event{}, problem(CodeBadValue, f.name, `give a length such as "3 mm", or none`, "set the pairing rule of batch %q: %v", o.body.ID, err)
			}
			*f.to = l
		}
	}
	if err := r.Validate(); err != nil {
		return event{}, refused("pairing", err)
	}
	return event{PairRuleSet, pairRuleBody(o.body.ID, r, c)}, nil
}

func pairRuleBody(batch string, r qc.PairRule, c Command) PairRuleBody {
	return PairRuleBody{Batch: batch, Metric: r.Metric, Objective: r.Objective, Tip: r.Tip, Crown: r.Crown, Station: r.Station,
		LimitNM: int64(r.Limit), OtherLotNM: int64(r.OtherLot), By: c.By, Key: c.Key}
}

func parseWeights(text string) (tip, crown, station int64, err error) {
	fields := strings.Fields(text)
	w := [3]int64{}
	for i, f := range fields {
		if len(fields) != len(w) {
			break
		}
		if w[i], err = strconv.ParseInt(f, 10, 32); err != nil {
			break
		}
	}
	if len(fields) != len(w) || err != nil {
		return 0, 0, 0, problem(CodeBadValue, "weights", `give three whole numbers, for tip-to-tip, crown height and every station, such as "1 1 1"`,
			"set the pairing rule: the weights %q are not three whole numbers", text)
	}
	return w[0], w[1], w[2], nil
}

// twoFor are the two ribs that a command names, as they stand on record.
func (b *Bench) twoFor(c Command, what string) (*batch, twoRibs, error) {
	o, err := b.openBatch()
	if err != nil {
		return nil, twoRibs{}, err
	}
	place := map[string]int{}
	for i, r := range o.ribs {
		place[r.ID] = i
	}
	for _, f := range []struct{ field, id string }{{"rib", c.Rib}, {"with", c.With}} {
		if f.id == "" {
			return nil, twoRibs{}, problem(CodeMissing, f.field, "name two ribs", "%s needs two ribs", what)
		}
		if _, ok := place[f.id]; !ok {
			return nil, twoRibs{}, problem(CodeUnknown, f.field, "give the numbers of two ribs that are there", "%s: batch %q has no rib %q", what, o.body.ID, f.id)
		}
	}
	if c.Rib == c.With {
		return nil, twoRibs{}, problem(CodeBadValue, "with", "name another one", "%s: rib %q cannot stand with itself", what, c.Rib)
	}
	p := twoRibs{c.Rib, c.With}
	if place[p.a] > place[p.b] {
		p.a, p.b = p.b, p.a
	}
	return o, p, nil
}

func (b *Bench) pairLock(c Command) (event, error) {
	o, p, err := b.twoFor(c, "locking a pair")
	if err != nil {
		return event{}, err
	}
	for _, id := range []string{p.a, p.b} {
		if l, ok := o.pairing.lockOf(id); ok {
			return event{}, problem(CodeSettled, "rib", "release that pair first", "lock ribs %q and %q: rib %q is locked with %q already", p.a, p.b, id, l.other(id))
		}
		r := o.rib(id)
		if v, _ := b.state.judge(o, r); v.Word != qc.Pass {
			return event{}, problem(CodeBadValue, "rib", "lock ribs that pass", "lock ribs %q and %q: rib %q is %s: %s", p.a, p.b, id, v.Word, v.Reason)
		}
	}
	for _, x := range o.pairing.barred {
		if x == p {
			return event{}, problem(CodeBadValue, "with", "allow the pair first", "lock ribs %q and %q: they are not to stand together", p.a, p.b)
		}
	}
	pr := b.derived().pairs()
	if pr.err != nil {
		return event{}, problem(CodeBadValue, "pairs", "", "lock ribs %q and %q: %v", p.a, p.b, pr.err)
	}
	body, err := pr.cost(p.a, p.b)
	switch {
	case errors.Is(err, errBeyondLimit):
		return event{}, problem(CodeBadValue, "with", "raise the limit, or choose another rib", "lock ribs %q and %q: their mismatch is beyond the limit of %s mm", p.a, p.b, o.pairing.ruleOr().Limit)
	case err != nil:
		return event{}, problem(CodeBadValue, "with", "", "lock ribs %q and %q: %v", p.a, p.b, err)
	}
	body.By, body.Key = c.By, c.Key
	return event{PairLocked, body}, nil
}

func (p twoRibs) other(id string) string {
	if p.a == id {
		return p.b
	}
	return p.a
}

func (b *Bench) pairRelease(c Command) (event, error) {
	o, p, err := b.twoFor(c, "releasing a pair")
	if err != nil {
		return event{}, err
	}
	if l, ok := o.pairing.lockOf(p.a); !ok || !l.is(p.a, p.b) {
		return event{}, problem(CodeSettled, "with", "look at which pairs are locked", "release ribs %q and %q: they are not locked as a pair", p.a, p.b)
	}
	return event{PairReleased, TwoRibsBody{Batch: o.body.ID, A: p.a, B: p.b, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) pairForbid(c Command) (event, error) {
	o, p, err := b.twoFor(c, "forbidding a pair")
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "forbidding a pair"); err != nil {
		return event{}, err
	}
	if l, ok := o.pairing.lockOf(p.a); ok && l.is(p.a, p.b) {
		return event{}, problem(CodeBadValue, "with", "release it first", "forbid ribs %q and %q as a pair: they are locked as one", p.a, p.b)
	}
	for _, x := range o.pairing.barred {
		if x == p {
			return event{}, problem(CodeSettled, "with", "", "ribs %q and %q are not to stand together already", p.a, p.b)
		}
	}
	return event{PairForbidden, TwoRibsBody{Batch: o.body.ID, A: p.a, B: p.b, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) pairAllow(c Command) (event, error) {
	o, p, err := b.twoFor(c, "allowing a pair")
	if err != nil {
		return event{}, err
	}
	for _, x := range o.pairing.barred {
		if x == p {
			return event{PairAllowed, TwoRibsBody{Batch: o.body.ID, A: p.a, B: p.b, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
		}
	}
	return event{}, problem(CodeSettled, "with", "", "ribs %q and %q may stand together already", p.a, p.b)
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
	pr := b.derived().pairs()
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
