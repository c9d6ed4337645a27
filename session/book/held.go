package book

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Held is a value that waits or waited for a person.
type Held struct {
	log.HeldBody
	Seq     int64
	Settled bool
}

// HeldValue finds a value that waits or waited, nil when that record is none.
func (b *Batch) HeldValue(seq int64) *Held {
	h, _ := find(b.Held, func(h *Held) bool { return h.Seq == seq })
	return h
}

// Waiting counts the values that wait for a person.
func (o *Batch) Waiting() int {
	n := 0
	for _, h := range o.Held {
		if !h.Settled {
			n++
		}
	}
	return n
}

// settle marks a held value as answered.
func (b *Batch) settle(seq int64) error {
	h := b.HeldValue(seq)
	if h == nil || h.Settled {
		return fmt.Errorf("no held value %d waits", seq)
	}
	h.Settled = true
	return nil
}

func (s *Book) heldBack(rec store.Record, body log.HeldBody) error {
	s.noteSent(rec, body.ReadingBody, body.Rib, qc.CharID(body.Char), body.Step)
	if body.Study != "" { // blind: the value is shown with its question only
		s.notice(rec, body.Gauge, words.StudyValueWaits{Gauge: s.GaugeName(body.Gauge), Study: body.Study, Step: body.Step})
	} else {
		s.notice(rec, body.Gauge, words.ValueWaits{
			Gauge: s.GaugeName(body.Gauge), Sent: body.Received(), Why: words.Said{Of: body.WhyHeld()}})
	}
	b := s.Open()
	if b == nil {
		return errNoBatch
	}
	b.Held = append(b.Held, &Held{HeldBody: body, Seq: rec.Seq})
	b.counts.Held++
	return nil
}

func (s *Book) heldDiscarded(_ store.Record, body log.HeldDiscardedBody) error {
	b := s.Open()
	if b == nil {
		return errNoBatch
	}
	if err := b.settle(body.Held); err != nil {
		return err
	}
	b.counts.Discarded++
	return nil
}

func (s *Book) refused(rec store.Record, body log.RefusedBody) error {
	s.notice(rec, body.Gauge, words.GaveNoValue{Gauge: s.GaugeName(body.Gauge), What: words.Said{Of: body.WhatFailed()}})
	if b := s.Open(); b != nil {
		b.counts.Refused++
	}
	return nil
}
