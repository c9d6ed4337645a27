package book

import (
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

// PairingState is what people decided about the pairs of a batch.
type PairingState struct {
	rule    *qc.PairRule // nil: the default
	Locked  []LockedPair
	Barred  []TwoRibs
	Order   *ConfirmedOrder
	Version int64 // the last record that decided something about the pairs
}

// TwoRibs is a pair of ribs in the order of their numbers on record.
type TwoRibs struct{ A, B string }

// Is says whether these are the two ribs, in either order.
func (p TwoRibs) Is(a, b string) bool { return p.A == a && p.B == b || p.A == b && p.B == a }

func (p TwoRibs) Has(id string) bool { return p.A == id || p.B == id }

// Other is the rib that stands with id.
func (p TwoRibs) Other(id string) string {
	if p.A == id {
		return p.B
	}
	return p.A
}

// LockedPair is a pair that stands, and what locking it cost at the time.
type LockedPair struct {
	TwoRibs
	Cost log.PairLockBody
	at   time.Time
}

// ConfirmedOrder is the run order that a person confirmed.
type ConfirmedOrder struct {
	log.OrderBody
	At time.Time
}

// Confirmed is a confirmation of pairs.
type Confirmed struct {
	log.PairsBody
	Seq    int64
	At     time.Time
	Rule   qc.PairRule // by which they were chosen
	Locked bool        // some were locked before
}

// RuleOr is the rule in force.
func (p PairingState) RuleOr() qc.PairRule {
	if p.rule == nil {
		return qc.DefaultPairRule
	}
	return *p.rule
}

// LockOf is the locked pair that the rib is of; false when there is none.
func (p PairingState) LockOf(id string) (LockedPair, bool) {
	return find(p.Locked, func(l LockedPair) bool { return l.Has(id) })
}

// batchToPair is the open batch, about whose pairs a record decides something.
func (s *Book) batchToPair(r store.Record, id string) (*Batch, error) {
	b := s.Open()
	if b == nil || b.Body.ID != id {
		return nil, errNoBatch
	}
	b.Pairing.Version = r.Seq
	return b, nil
}

func (s *Book) pairsConfirmed(rec store.Record, body log.PairsBody) error {
	b, err := s.batchToPair(rec, body.Batch)
	if err != nil {
		return err
	}
	b.Pairs = &Confirmed{PairsBody: body, Seq: rec.Seq, At: rec.At(), Rule: b.Pairing.RuleOr(), Locked: len(b.Pairing.Locked) > 0}
	b.Pairing.Order = nil
	return nil
}

func (s *Book) pairRuleSet(r store.Record, body log.PairRuleBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	b.Pairing.rule = &qc.PairRule{Metric: body.Metric, Objective: body.Objective, Tip: body.Tip, Crown: body.Crown, Station: body.Station,
		Limit: length.Length(body.LimitNM), OtherLot: length.Length(body.OtherLotNM)}
	return nil
}

func (s *Book) pairLocked(r store.Record, body log.PairLockBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	for _, id := range []string{body.A, body.B} {
		if l, ok := b.Pairing.LockOf(id); ok {
			return fmt.Errorf("rib %q is locked in the pair of %q and %q already", id, l.A, l.B)
		}
	}
	p := &b.Pairing
	p.Locked = append(p.Locked[:len(p.Locked):len(p.Locked)], LockedPair{TwoRibs{body.A, body.B}, body, r.At()})
	return nil
}

func (s *Book) pairReleased(r store.Record, body log.TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	n := len(b.Pairing.Locked)
	b.Pairing.Locked = slices.DeleteFunc(slices.Clone(b.Pairing.Locked), func(l LockedPair) bool { return l.Is(body.A, body.B) })
	if len(b.Pairing.Locked) == n {
		return fmt.Errorf("no pair of %q and %q is locked", body.A, body.B)
	}
	return nil
}

func (s *Book) pairForbidden(r store.Record, body log.TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	p := &b.Pairing
	p.Barred = append(p.Barred[:len(p.Barred):len(p.Barred)], TwoRibs{body.A, body.B})
	return nil
}

func (s *Book) pairAllowed(r store.Record, body log.TwoRibsBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	n := len(b.Pairing.Barred)
	b.Pairing.Barred = slices.DeleteFunc(slices.Clone(b.Pairing.Barred), func(p TwoRibs) bool { return p.Is(body.A, body.B) })
	if len(b.Pairing.Barred) == n {
		return fmt.Errorf("the pair of %q and %q is not forbidden", body.A, body.B)
	}
	return nil
}

func (s *Book) orderConfirmed(r store.Record, body log.OrderBody) error {
	b, err := s.batchToPair(r, body.Batch)
	if err != nil {
		return err
	}
	if b.Pairs == nil || len(b.Pairs.Pairs) != len(body.Order) {
		return fmt.Errorf("the run order has %d pairs and not those confirmed", len(body.Order))
	}
	b.Pairing.Order = &ConfirmedOrder{body, r.At()}
	return nil
}
