package command

import (
	"errors"
	"slices"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
	"springline/session/log"
)

// ChangePairRule changes how ribs are paired; what is left out stays.
type ChangePairRule struct {
	Metric    string `json:"metric" need:"no" most:"120" doc:"rms or max"`
	Objective string `json:"objective" need:"no" most:"120" doc:"sum or worst_then_sum"`
	Weights   string `json:"weights" need:"no" most:"120" doc:"of tip-to-tip, crown height and every station: 1 1 2"`
	Limit     string `json:"limit" need:"no" most:"120" doc:"largest mismatch of a pair, or none"`
	OtherLot  string `json:"other_lot" need:"no" most:"120" doc:"by how much a pair of one lot may be worse and is still preferred, or none"`
}

func (ChangePairRule) op() Op { return "pair-rule" }

// pairRule changes the rule by what the command names and leaves the rest.
func changePairRule(d *Desk, s Sent, c ChangePairRule) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	r := o.Pairing.RuleOr()
	if c.Metric != "" {
		r.Metric = c.Metric
	}
	if c.Objective != "" {
		r.Objective = c.Objective
	}
	if c.Weights != "" {
		if r.Tip, r.Crown, r.Station, err = parseWeights(c.Weights); err != nil {
			return log.Event{}, err
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
				return log.Event{}, words.Problem(words.CodeBadValue, f.name, `give a length such as "3 mm", or none`,
					"set the pairing rule of batch %q: %v", o.Body.ID, err)
			}
			*f.to = l
		}
	}
	if err := r.Validate(); err != nil {
		return log.Event{}, words.Refused("pairing", err)
	}
	return log.Event{Kind: log.PairRuleSet, Body: pairRuleBody(o.Body.ID, r, s)}, nil
}

func pairRuleBody(batch string, r qc.PairRule, s Sent) log.PairRuleBody {
	return log.PairRuleBody{Batch: batch, Metric: r.Metric, Objective: r.Objective, Tip: r.Tip, Crown: r.Crown, Station: r.Station,
		LimitNM: int64(r.Limit), OtherLotNM: int64(r.OtherLot), By: s.By, Keyed: s.keyed()}
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
		return 0, 0, 0, words.Problem(words.CodeBadValue,
			"weights", `give three whole numbers, for tip-to-tip, crown height and every station, such as "1 1 1"`,
			"set the pairing rule: the weights %q are not three whole numbers", text)
	}
	return w[0], w[1], w[2], nil
}

// twoFor are the two ribs that a command names, as they stand on record.
func (d *Desk) twoFor(rib, with, what string) (*book.Batch, book.TwoRibs, error) {
	o, err := d.openBatch()
	if err != nil {
		return nil, book.TwoRibs{}, err
	}
	place := map[string]int{}
	for i, r := range o.Ribs {
		place[r.ID] = i
	}
	for _, f := range []struct{ field, id string }{{"rib", rib}, {"with", with}} {
		if f.id == "" {
			return nil, book.TwoRibs{}, words.Problem(words.CodeMissing, f.field, "name two ribs", "%s needs two ribs", what)
		}
		if _, ok := place[f.id]; !ok {
			return nil, book.TwoRibs{}, words.Problem(words.CodeUnknown, f.field, "give the numbers of two ribs that are there",
				"%s: batch %q has no rib %q", what, o.Body.ID, f.id)
		}
	}
	if rib == with {
		return nil, book.TwoRibs{}, words.Problem(words.CodeBadValue, "with", "name another one", "%s: rib %q cannot stand with itself", what, rib)
	}
	p := book.TwoRibs{A: rib, B: with}
	if place[p.A] > place[p.B] {
		p.A, p.B = p.B, p.A
	}
	return o, p, nil
}

// LockPair sets a pair aside as good enough.
type LockPair struct {
	Rib  string `json:"rib" most:"120" doc:"one rib"`
	With string `json:"with" most:"120" doc:"the other"`
}

func (LockPair) op() Op { return "pair-lock" }

func lockPair(d *Desk, s Sent, c LockPair) (log.Event, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "locking a pair")
	if err != nil {
		return log.Event{}, err
	}
	for _, id := range []string{p.A, p.B} {
		if l, ok := o.Pairing.LockOf(id); ok {
			return log.Event{}, words.Problem(words.CodeSettled, "rib", "release that pair first",
				"lock ribs %q and %q: rib %q is locked with %q already", p.A, p.B, id, l.Other(id))
		}
		r := o.Rib(id)
		if v, _ := d.Book.Judge(o, r); v.Word != qc.Pass {
			return log.Event{}, words.Problem(words.CodeBadValue, "rib", "lock ribs that pass",
				"lock ribs %q and %q: rib %q is %s: %s", p.A, p.B, id, v.Word, v.Reason)
		}
	}
	for _, x := range o.Pairing.Barred {
		if x == p {
			return log.Event{}, words.Problem(words.CodeBadValue, "with", "allow the pair first",
				"lock ribs %q and %q: they are not to stand together", p.A, p.B)
		}
	}
	pr := d.Is.Pairs()
	if pr.Err != nil {
		return log.Event{}, words.Problem(words.CodeBadValue, "pairs", "", "lock ribs %q and %q: %v", p.A, p.B, pr.Err)
	}
	body, err := pr.Cost(p.A, p.B)
	switch {
	case errors.Is(err, derive.ErrBeyondLimit):
		return log.Event{}, words.Problem(words.CodeBadValue, "with", "raise the limit, or choose another rib",
			"lock ribs %q and %q: their mismatch is beyond the limit of %s mm", p.A, p.B, o.Pairing.RuleOr().Limit)
	case err != nil:
		return log.Event{}, words.Problem(words.CodeBadValue, "with", "", "lock ribs %q and %q: %v", p.A, p.B, err)
	}
	body.By, body.Keyed = s.By, s.keyed()
	return log.Event{Kind: log.PairLocked, Body: body}, nil
}

// ReleasePair lets the ribs of a locked pair go.
type ReleasePair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (ReleasePair) op() Op { return "pair-release" }

func releasePair(d *Desk, s Sent, c ReleasePair) (log.Event, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "releasing a pair")
	if err != nil {
		return log.Event{}, err
	}
	if l, ok := o.Pairing.LockOf(p.A); !ok || !l.Is(p.A, p.B) {
		return log.Event{}, words.Problem(words.CodeSettled, "with", "look at which pairs are locked",
			"release ribs %q and %q: they are not locked as a pair", p.A, p.B)
	}
	return log.Event{Kind: log.PairReleased, Body: log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}

// ForbidPair never lets two ribs stand together.
type ForbidPair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (ForbidPair) op() Op { return "pair-forbid" }

func forbidPair(d *Desk, s Sent, c ForbidPair) (log.Event, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "forbidding a pair")
	if err != nil {
		return log.Event{}, err
	}
	if err := needReason(c.Reason, "forbidding a pair"); err != nil {
		return log.Event{}, err
	}
	if l, ok := o.Pairing.LockOf(p.A); ok && l.Is(p.A, p.B) {
		return log.Event{}, words.Problem(words.CodeBadValue, "with", "release it first",
			"forbid ribs %q and %q as a pair: they are locked as one", p.A, p.B)
	}
	for _, x := range o.Pairing.Barred {
		if x == p {
			return log.Event{}, words.Problem(words.CodeSettled, "with", "", "ribs %q and %q are not to stand together already", p.A, p.B)
		}
	}
	return log.Event{Kind: log.PairForbidden, Body: log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}

// AllowPair takes a forbid back.
type AllowPair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (AllowPair) op() Op { return "pair-allow" }

func allowPair(d *Desk, s Sent, c AllowPair) (log.Event, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "allowing a pair")
	if err != nil {
		return log.Event{}, err
	}
	for _, x := range o.Pairing.Barred {
		if x == p {
			return log.Event{Kind: log.PairAllowed, Body: log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
		}
	}
	return log.Event{}, words.Problem(words.CodeSettled, "with", "", "ribs %q and %q may stand together already", p.A, p.B)
}

// ConfirmPairs confirms the pairs as they were seen.
type ConfirmPairs struct {
	Token string `json:"token" most:"120" doc:"names what was seen"`
}

func (ConfirmPairs) op() Op { return "confirm-pairs" }

// confirmPairs records the very proposal that the person saw.
func confirmPairs(d *Desk, s Sent, c ConfirmPairs) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if s.By == "" {
		return log.Event{}, words.Problem(words.CodeMissing, "by", "say who confirms", "confirming pairs needs a person")
	}
	pr := d.Is.Pairs()
	switch {
	case pr.Err != nil:
		return log.Event{}, words.Problem(words.CodeBadValue, "pairs", "", "no pairs can be proposed for batch %q: %v", o.Body.ID, pr.Err)
	case len(pr.Body.Pairs) == 0:
		return log.Event{}, words.Problem(words.CodeBadValue, "pairs", "measure more ribs", "batch %q has no two ribs that pass", o.Body.ID)
	case c.Token != pr.Token:
		return log.Event{}, words.Problem(words.CodeConflict, "token", "look at the pairs as they are now and confirm those",
			"the pairs of batch %q have changed since they were shown (%q, now %q)", o.Body.ID, c.Token, pr.Token)
	}
	body := pr.Body
	body.By, body.Keyed = s.By, s.keyed()
	return log.Event{Kind: log.PairsConfirmed, Body: body}, nil
}

// ConfirmOrder confirms the run order as it was seen.
type ConfirmOrder struct {
	Token string `json:"token" most:"120" doc:"names what was seen"`
	First string `json:"first" need:"no" most:"120" doc:"a rib of the pair that stands first"`
	Last  string `json:"last" need:"no" most:"120" doc:"a rib of the pair that stands last"`
}

func (ConfirmOrder) op() Op { return "confirm-order" }

// confirmOrder records the very order that the person saw.
func confirmOrder(d *Desk, s Sent, c ConfirmOrder) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if s.By == "" {
		return log.Event{}, words.Problem(words.CodeMissing, "by", "say who confirms", "confirming the run order needs a person")
	}
	p := d.Is.Pairs()
	if p.Confirmed != nil && len(p.Confirmed.Pairs) > derive.ShortRun && !p.KnowsOrder(c.First, c.Last) {
		// Working it out would keep the gauges waiting.
		return log.Event{}, words.Problem(words.CodeConflict, "token", "work the run order out and confirm what is shown",
			"the run order of batch %q has not been worked out yet", o.Body.ID)
	}
	r, err := p.Order(c.First, c.Last)
	if err != nil {
		return log.Event{}, err
	}
	if c.Token != r.Token {
		return log.Event{}, words.Problem(words.CodeConflict, "token", "look at the run order as it is now and confirm that one",
			"the run order of batch %q has changed since it was shown (%q, now %q)", o.Body.ID, c.Token, r.Token)
	}
	body := r.Body
	body.Order = slices.Clone(body.Order)
	body.By, body.Keyed = s.By, s.keyed()
	return log.Event{Kind: log.OrderConfirmed, Body: body}, nil
}
