package command

import (
	"errors"
	"slices"

	"springline/qc"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
	"springline/session/log"
)

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
		return nil, book.TwoRibs{}, words.Problem(words.CodeBadValue, "with", "name another one",
			"%s: rib %q cannot stand with itself", what, rib)
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

func lockPair(d *Desk, s Sent, c LockPair) (any, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "locking a pair")
	if err != nil {
		return nil, err
	}
	for _, id := range []string{p.A, p.B} {
		if l, ok := o.Pairing.LockOf(id); ok {
			return nil, words.Problem(words.CodeSettled, "rib", "release that pair first",
				"lock ribs %q and %q: rib %q is locked with %q already", p.A, p.B, id, l.Other(id))
		}
		r := o.Rib(id)
		if v, _ := d.Book.Judge(o, r); v.Word != qc.Pass {
			return nil, words.Problem(words.CodeBadValue, "rib", "lock ribs that pass",
				"lock ribs %q and %q: rib %q is %s: %s", p.A, p.B, id, v.Word, words.English.Say(v.Why))
		}
	}
	if slices.Contains(o.Pairing.Barred, p) {
		return nil, words.Problem(words.CodeBadValue, "with", "allow the pair first",
			"lock ribs %q and %q: they are not to stand together", p.A, p.B)
	}
	pr := d.Is.Pairs()
	if pr.Err != nil {
		return nil, words.Problem(words.CodeBadValue, "pairs", "", "lock ribs %q and %q: %v", p.A, p.B, pr.Err)
	}
	body, err := pr.Cost(p.A, p.B)
	switch {
	case errors.Is(err, derive.ErrBeyondLimit):
		return nil, words.Problem(words.CodeBadValue, "with", "raise the limit, or choose another rib",
			"lock ribs %q and %q: their mismatch is beyond the limit of %s mm", p.A, p.B, o.Pairing.RuleOr().Limit)
	case err != nil:
		return nil, words.Problem(words.CodeBadValue, "with", "", "lock ribs %q and %q: %v", p.A, p.B, err)
	}
	body.By, body.Keyed = s.By, s.keyed()
	return body, nil
}

// ReleasePair lets the ribs of a locked pair go.
type ReleasePair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (ReleasePair) op() Op { return "pair-release" }

func releasePair(d *Desk, s Sent, c ReleasePair) (any, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "releasing a pair")
	if err != nil {
		return nil, err
	}
	if l, ok := o.Pairing.LockOf(p.A); !ok || !l.Is(p.A, p.B) {
		return nil, words.Problem(words.CodeSettled, "with", "look at which pairs are locked",
			"release ribs %q and %q: they are not locked as a pair", p.A, p.B)
	}
	return log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

// ForbidPair never lets two ribs stand together.
type ForbidPair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (ForbidPair) op() Op { return "pair-forbid" }

func forbidPair(d *Desk, s Sent, c ForbidPair) (any, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "forbidding a pair")
	if err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "forbidding a pair"); err != nil {
		return nil, err
	}
	if l, ok := o.Pairing.LockOf(p.A); ok && l.Is(p.A, p.B) {
		return nil, words.Problem(words.CodeBadValue, "with", "release it first",
			"forbid ribs %q and %q as a pair: they are locked as one", p.A, p.B)
	}
	if slices.Contains(o.Pairing.Barred, p) {
		return nil, words.Problem(words.CodeSettled, "with", "", "ribs %q and %q are not to stand together already", p.A, p.B)
	}
	return log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

// AllowPair takes a forbid back.
type AllowPair struct {
	Rib    string `json:"rib" most:"120" doc:"one rib"`
	With   string `json:"with" most:"120" doc:"the other"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (AllowPair) op() Op { return "pair-allow" }

func allowPair(d *Desk, s Sent, c AllowPair) (any, error) {
	o, p, err := d.twoFor(c.Rib, c.With, "allowing a pair")
	if err != nil {
		return nil, err
	}
	if !slices.Contains(o.Pairing.Barred, p) {
		return nil, words.Problem(words.CodeSettled, "with", "", "ribs %q and %q may stand together already", p.A, p.B)
	}
	return log.TwoRibsBody{Batch: o.Body.ID, A: p.A, B: p.B, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}
