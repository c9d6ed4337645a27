package session

import (
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/session/store"
)

// pairingState is what people decided about the pairs of a batch.
type pairingState struct {
	rule   *qc.PairRule // nil: the default
	locked []lockedPair
	barred []twoRibs
	order  *confirmedOrder
	// version is the last record that decided something about the pairs
	version int64
}

// twoRibs is a pair of ribs in the order of their numbers on record.
type twoRibs struct{ a, b string }

func (p twoRibs) is(a, b string) bool { return p.a == a && p.b == b || p.a == b && p.b == a }

func (p twoRibs) has(id string) bool { return p.a == id || p.b == id }

type lockedPair struct {
	twoRibs
	cost PairLockBody
	at   time.Time
}

type confirmedOrder struct {
	OrderBody
	at time.Time
}

// ruleOr is the rule in force.
func (p pairingState) ruleOr() qc.PairRule {
	if p.rule == nil {
		return qc.DefaultPairRule
	}
	return *p.rule
}

func (p pairingState) lockOf(id string) (lockedPair, bool) {
	i := slices.IndexFunc(p.locked, func(l lockedPair) bool { return l.has(id) })
	if i < 0 {
		return lockedPair{}, false
	}
	return p.locked[i], true
}

// batchToPair is the open batch, about whose pairs a record decides something.
func (s *state) batchToPair(r store.Record, id string) (*batch, error) {
	b := s.open()
	if b == nil || b.body.ID != id {
		return nil, errNoBatch
	}
	b.pairing.version = r.Seq
	return b, nil
}

func (s *state) pairRuleSet(r store.Record, body PairRuleBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	b.pairing.rule = &qc.PairRule{Metric: body.Metric, Objective: body.Objective, Tip: body.Tip, Crown: body.Crown, Station: body.Station,
		Limit: length.Length(body.LimitNM), OtherLot: length.Length(body.OtherLotNM)}
	return nil
}

func (s *state) pairLocked(r store.Record, body PairLockBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	for _, id := range []string{body.A, body.B} {
		if l, ok := b.pairing.lockOf(id); ok {
			return fmt.Errorf("rib %q is locked in the pair of %q and %q already", id, l.a, l.b)
		}
	}
	p := &b.pairing
	p.locked = append(p.locked[:len(p.locked):len(p.locked)], lockedPair{twoRibs{body.A, body.B}, body, r.At()})
	return nil
}

func (s *state) pairReleased(r store.Record, body TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	n := len(b.pairing.locked)
	b.pairing.locked = slices.DeleteFunc(slices.Clone(b.pairing.locked), func(l lockedPair) bool { return l.is(body.A, body.B) })
	if len(b.pairing.locked) == n {
		return fmt.Errorf("no pair of %q and %q is locked", body.A, body.B)
	}
	return nil
}

func (s *state) pairForbidden(r store.Record, body TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	p := &b.pairing
	p.barred = append(p.barred[:len(p.barred):len(p.barred)], twoRibs{body.A, body.B})
	return nil
}

func (s *state) pairAllowed(r store.Record, body TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	n := len(b.pairing.barred)
	b.pairing.barred = slices.DeleteFunc(slices.Clone(b.pairing.barred), func(p twoRibs) bool { return p.is(body.A, body.B) })
	if len(b.pairing.barred) == n {
		return fmt.Errorf("the pair of %q and %q is not forbidden", body.A, body.B)
	}
	return nil
}

func (s *state) orderConfirmed(r store.Record, body OrderBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	if b.pairs == nil || len(b.pairs.Pairs) != len(body.Order) {
		return fmt.Errorf("the run order has %d pairs and not those confirmed", len(body.Order))
	}
	b.pairing.order = &confirmedOrder{body, r.At()}
	return nil
}
