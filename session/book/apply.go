package book

import (
	"errors"
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// maxNotices bounds what the page shows of the past.
const maxNotices = 20

var errNoBatch = errors.New("no batch is open")

func (s *Book) notice(rec store.Record, gauge string, said words.Finding) {
	if len(s.Notices) == maxNotices {
		s.Notices = s.Notices[1:]
	}
	s.Notices = append(s.Notices[:len(s.Notices):len(s.Notices)], notice{rec.Seq, gauge, said})
}

// ribOf finds a rib of the open batch.
func (s *Book) ribOf(id string) (*Batch, *Rib, error) {
	b := s.Open()
	if b == nil {
		return nil, nil, errNoBatch
	}
	r := b.Rib(id)
	if r == nil {
		return nil, nil, fmt.Errorf("batch %q has no rib %q", b.Body.ID, id)
	}
	return b, r, nil
}

func (s *Book) epochStarted(r store.Record, b log.EpochBody) error {
	s.Software = b.Software
	s.Bench = r.Bench
	return nil
}

func (s *Book) batchOpened(r store.Record, body log.BatchBody) error {
	t, ok := s.Target(body.Target, body.Revision)
	if !ok {
		return fmt.Errorf("target %q revision %d is not on record", body.Target, body.Revision)
	}
	b := &Batch{
		Body: body, Target: t, opened: r.At(), first: r.Seq, Lot: body.Lot, Jig: body.Jig,
		Decision: body.Decision(),
	}
	s.Batches = append(s.Batches, b)
	s.Batch, s.Last = b, lastValue{}
	return nil
}

func (s *Book) batchClosed(r store.Record, body log.BatchClosedBody) error {
	b := s.Open()
	if b == nil || b.Body.ID != body.Batch {
		return errNoBatch
	}
	b.Closed, b.asOf, b.end = r.At(), r.At(), r.Head()
	b.gauges, b.lots, b.jigs = s.QcGauges(), s.lotsOf(b), s.jigsOf(b)
	return nil
}

func (s *Book) ribStarted(r store.Record, body log.RibBody) error {
	b := s.Open()
	if b == nil || b.Body.ID != body.Batch {
		return errNoBatch
	}
	if b.Rib(body.Rib) != nil {
		return fmt.Errorf("rib %q is there already", body.Rib)
	}
	n := &Rib{Rib: qc.Rib{ID: body.Rib, Lot: body.Lot, Jig: body.Jig, FirstJig: body.Jig, BarLength: length.Length(body.BarLengthNM), Order: body.Order, Round: 1, Started: r.At()}}
	n.touch(r.Seq)
	b.Ribs = append(b.Ribs, n)
	b.Current = n
	return nil
}

func (s *Book) ribChosen(_ store.Record, body log.RibChosenBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	b.Current = r
	return nil
}

func (s *Book) roundStarted(rec store.Record, body log.RoundBody) error {
	_, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	if body.Round != r.Round+1 {
		return fmt.Errorf("round %d does not follow round %d of rib %q", body.Round, r.Round, r.ID)
	}
	r.Round = body.Round
	if body.Jig != "" {
		r.Jig = body.Jig
	}
	r.touch(rec.Seq)
	return nil
}

func (s *Book) measured(rec store.Record, body log.MeasuredBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	id := qc.CharID(body.Char)
	if _, ok := b.Target.Characteristic(id); !ok {
		return fmt.Errorf("target %q has no %q", b.Target.ID, body.Char)
	}
	m := qc.Measurement{
		Seq: rec.Seq, At: rec.At(), Rib: r.ID, Char: id, Round: body.Round, Value: length.Length(body.ValueNM),
		Gauge: body.Gauge, Entry: qc.Entry(body.Entry), Text: body.Text, Unit: body.Unit, By: body.By, Cause: body.Cause,
		Again: len(body.Replaces) > 0 || r.reopen[reopenKey{id, body.Round}],
	}
	s.warm(b, &m)
	for _, seq := range body.Replaces {
		if err := r.replace(seq); err != nil {
			return err
		}
	}
	if body.FromHeld != 0 {
		if err := b.settle(body.FromHeld); err != nil {
			return err
		}
	}
	if m.Again {
		b.counts.Again++
	}
	r.Measurements = append(r.Measurements[:len(r.Measurements):len(r.Measurements)], m)
	r.touch(rec.Seq)
	s.Last = lastValue{Rib: r, Seq: rec.Seq}
	if body.FromHeld == 0 {
		s.noteSent(rec, body.ReadingBody, r.ID, id, 0)
	}
	return nil
}

// noteSent remembers what a gauge sent last.
func (s *Book) noteSent(rec store.Record, body log.ReadingBody, rib string, char qc.CharID, step int) {
	if qc.Entry(body.Entry) == qc.Sent {
		s.Sent[body.Gauge] = sent{Text: body.Text, Unit: body.Unit, At: rec.At(), Rib: rib, Char: char, Step: step}
	}
}

// edit makes the measurements of the rib its own before one is changed in place, so that a copy handed
// out earlier stays as it was.
func (r *Rib) edit() {
	r.Measurements = append([]qc.Measurement(nil), r.Measurements...)
}

func (r *Rib) replace(seq int64) error {
	r.edit()
	m := r.Measurement(seq)
	if m == nil || !m.Counts() {
		return fmt.Errorf("rib %q has no counting measurement %d", r.ID, seq)
	}
	m.Replaced = true
	return nil
}

func (s *Book) reopened(rec store.Record, body log.ReopenedBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	for _, seq := range body.Replaces {
		if err := r.replace(seq); err != nil {
			return err
		}
	}
	if body.Held != 0 {
		if err := b.settle(body.Held); err != nil {
			return err
		}
		b.counts.Discarded++
	}
	if r.reopen == nil {
		r.reopen = map[reopenKey]bool{}
	}
	r.reopen[reopenKey{qc.CharID(body.Char), body.Round}] = true
	r.touch(rec.Seq)
	return nil
}

func (s *Book) heldBack(rec store.Record, body log.HeldBody) error {
	rib := body.Rib
	s.noteSent(rec, body.ReadingBody, rib, qc.CharID(body.Char), body.Step)
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

func (s *Book) voided(rec store.Record, body log.VoidedBody) error {
	b := s.Open()
	if b == nil {
		return errNoBatch
	}
	if st, i := b.StudyReading(body.Seq); st != nil {
		return st.studyVoided(rec, i, body.Reason)
	}
	for _, r := range b.Ribs {
		if r.Measurement(body.Seq) == nil {
			continue
		}
		r.edit()
		m := r.Measurement(body.Seq)
		if !m.Counts() {
			return fmt.Errorf("measurement %d does not count any more", body.Seq)
		}
		m.Voided, m.VoidReason = true, body.Reason
		b.counts.Voided++
		r.touch(rec.Seq)
		return nil
	}
	return fmt.Errorf("no measurement %d in batch %q", body.Seq, b.Body.ID)
}

func (s *Book) skipped(rec store.Record, body log.SkippedBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	r.Skips = append(r.Skips[:len(r.Skips):len(r.Skips)], qc.Skip{Seq: rec.Seq, Char: qc.CharID(body.Char), Round: body.Round, Reason: body.Reason})
	b.counts.Skipped++
	r.touch(rec.Seq)
	return nil
}

func (s *Book) pulled(rec store.Record, body log.PulledBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	m := func(v int64) qc.Measurement {
		return qc.Measurement{Seq: rec.Seq, At: rec.At(), Rib: r.ID, Char: qc.Tip, Round: r.Round, Value: length.Length(v), Gauge: body.Gauge, Entry: qc.Typed, By: body.By}
	}
	b.pulls = append(b.pulls, qc.Pull{Seq: rec.Seq, At: rec.At(), Rib: r.ID, Before: m(body.BeforeNM), Loaded: m(body.LoadedNM)})
	r.touch(rec.Seq)
	return nil
}

func (s *Book) pairsConfirmed(rec store.Record, body log.PairsBody) error {
	b, err := s.batchToPair(rec, body.Batch)
	if err != nil {
		return err
	}
	b.Pairs, b.Pairing.Order = &Confirmed{PairsBody: body, Seq: rec.Seq, At: rec.At(), Rule: b.Pairing.RuleOr(), Locked: len(b.Pairing.Locked) > 0}, nil
	return nil
}

func (s *Book) noted(rec store.Record, body log.NotedBody) error {
	for _, b := range s.Batches {
		if b.Body.ID == body.Batch {
			b.notes = append(b.notes, qc.Note{At: rec.At(), Rib: body.Rib, Text: body.Text, By: body.By})
		}
	}
	return nil
}

func (s *Book) nextSet(rec store.Record, body log.NextSetBody) error {
	b := s.Open()
	if b == nil || b.Body.ID != body.Batch {
		return errNoBatch
	}
	if body.FaceRadiusNM != 0 {
		if _, ok := s.Jig(body.Jig); ok {
			return fmt.Errorf("jig %q is on record already", body.Jig)
		}
		s.Jigs = append(s.Jigs[:len(s.Jigs):len(s.Jigs)], qc.Jig{ID: body.Jig, FaceRadius: length.Length(body.FaceRadiusNM), Blocks: body.Blocks, At: rec.At()})
	}
	if body.Lot != "" {
		b.Lot = body.Lot
	}
	if body.Jig != "" {
		b.Jig = body.Jig
	}
	return nil
}

func (o *Batch) Waiting() int {
	n := 0
	for _, h := range o.Held {
		if !h.Settled {
			n++
		}
	}
	return n
}
