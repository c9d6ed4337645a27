package session

import (
	"errors"
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/store"
)

// maxNotices bounds what the page shows of the past.
const maxNotices = 20

var errNoBatch = errors.New("no batch is open")

func (s *state) notice(rec store.Record, gauge string, said words.Finding) {
	if len(s.notices) == maxNotices {
		s.notices = s.notices[1:]
	}
	s.notices = append(s.notices[:len(s.notices):len(s.notices)], notice{rec.Seq, gauge, said})
}

// ribOf finds a rib of the open batch.
func (s *state) ribOf(id string) (*batch, *rib, error) {
	b := s.open()
	if b == nil {
		return nil, nil, errNoBatch
	}
	r := b.rib(id)
	if r == nil {
		return nil, nil, fmt.Errorf("batch %q has no rib %q", b.body.ID, id)
	}
	return b, r, nil
}

func (s *state) epochStarted(r store.Record, b EpochBody) error {
	s.software = b.Software
	s.bench = r.Bench
	return nil
}

func (s *state) batchOpened(r store.Record, body BatchBody) error {
	t, ok := s.target(body.Target, body.Revision)
	if !ok {
		return fmt.Errorf("target %q revision %d is not on record", body.Target, body.Revision)
	}
	b := &batch{
		body: body, target: t, opened: r.At(), first: r.Seq, lot: body.Lot, jig: body.Jig,
		decision: body.decision(),
	}
	s.batches = append(s.batches, b)
	s.batch, s.last = b, lastValue{}
	return nil
}

func (s *state) batchClosed(r store.Record, body BatchClosedBody) error {
	b := s.open()
	if b == nil || b.body.ID != body.Batch {
		return errNoBatch
	}
	b.closed, b.asOf, b.end = r.At(), r.At(), r.Head()
	b.gauges, b.lots, b.jigs = s.qcGauges(), s.lotsOf(b), s.jigsOf(b)
	return nil
}

func (s *state) ribStarted(r store.Record, body RibBody) error {
	b := s.open()
	if b == nil || b.body.ID != body.Batch {
		return errNoBatch
	}
	if b.rib(body.Rib) != nil {
		return fmt.Errorf("rib %q is there already", body.Rib)
	}
	n := &rib{Rib: qc.Rib{ID: body.Rib, Lot: body.Lot, Jig: body.Jig, FirstJig: body.Jig, BarLength: length.Length(body.BarLengthNM), Order: body.Order, Round: 1, Started: r.At()}}
	n.touch(r.Seq)
	b.ribs = append(b.ribs, n)
	b.current = n
	return nil
}

func (s *state) ribChosen(_ store.Record, body RibChosenBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	b.current = r
	return nil
}

func (s *state) roundStarted(rec store.Record, body RoundBody) error {
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

func (s *state) measured(rec store.Record, body MeasuredBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	id := qc.CharID(body.Char)
	if _, ok := b.target.Characteristic(id); !ok {
		return fmt.Errorf("target %q has no %q", b.target.ID, body.Char)
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
	s.last = lastValue{rib: r, seq: rec.Seq}
	if body.FromHeld == 0 {
		s.noteSent(rec, body.ReadingBody, r.ID, id, 0)
	}
	return nil
}

// noteSent remembers what a gauge sent last.
func (s *state) noteSent(rec store.Record, body ReadingBody, rib string, char qc.CharID, step int) {
	if qc.Entry(body.Entry) == qc.Sent {
		s.sent[body.Gauge] = sent{text: body.Text, unit: body.Unit, at: rec.At(), rib: rib, char: char, step: step}
	}
}

// edit makes the measurements of the rib its own before one is changed in place, so that a copy handed
// out earlier stays as it was.
func (r *rib) edit() {
	r.Measurements = append([]qc.Measurement(nil), r.Measurements...)
}

func (r *rib) replace(seq int64) error {
	r.edit()
	m := r.measurement(seq)
	if m == nil || !m.Counts() {
		return fmt.Errorf("rib %q has no counting measurement %d", r.ID, seq)
	}
	m.Replaced = true
	return nil
}

func (s *state) reopened(rec store.Record, body ReopenedBody) error {
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

func (s *state) heldBack(rec store.Record, body HeldBody) error {
	rib := body.Rib
	s.noteSent(rec, body.ReadingBody, rib, qc.CharID(body.Char), body.Step)
	if body.Study != "" { // blind: the value is shown with its question only
		s.notice(rec, body.Gauge, words.StudyValueWaits{Gauge: s.gaugeName(body.Gauge), Study: body.Study, Step: body.Step})
	} else {
		s.notice(rec, body.Gauge, words.ValueWaits{
			Gauge: s.gaugeName(body.Gauge), Sent: body.received(), Why: words.Said{Of: body.whyHeld()}})
	}
	b := s.open()
	if b == nil {
		return errNoBatch
	}
	b.held = append(b.held, &heldValue{HeldBody: body, seq: rec.Seq})
	b.counts.Held++
	return nil
}

func (s *state) heldDiscarded(_ store.Record, body HeldDiscardedBody) error {
	b := s.open()
	if b == nil {
		return errNoBatch
	}
	if err := b.settle(body.Held); err != nil {
		return err
	}
	b.counts.Discarded++
	return nil
}

func (s *state) refused(rec store.Record, body RefusedBody) error {
	s.notice(rec, body.Gauge, words.GaveNoValue{Gauge: s.gaugeName(body.Gauge), What: words.Said{Of: body.whatFailed()}})
	if b := s.open(); b != nil {
		b.counts.Refused++
	}
	return nil
}

func (s *state) voided(rec store.Record, body VoidedBody) error {
	b := s.open()
	if b == nil {
		return errNoBatch
	}
	if st, i := b.studyReading(body.Seq); st != nil {
		return st.studyVoided(rec, i, body.Reason)
	}
	for _, r := range b.ribs {
		if r.measurement(body.Seq) == nil {
			continue
		}
		r.edit()
		m := r.measurement(body.Seq)
		if !m.Counts() {
			return fmt.Errorf("measurement %d does not count any more", body.Seq)
		}
		m.Voided, m.VoidReason = true, body.Reason
		b.counts.Voided++
		r.touch(rec.Seq)
		return nil
	}
	return fmt.Errorf("no measurement %d in batch %q", body.Seq, b.body.ID)
}

func (s *state) skipped(rec store.Record, body SkippedBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	r.Skips = append(r.Skips[:len(r.Skips):len(r.Skips)], qc.Skip{Seq: rec.Seq, Char: qc.CharID(body.Char), Round: body.Round, Reason: body.Reason})
	b.counts.Skipped++
	r.touch(rec.Seq)
	return nil
}

func (s *state) pulled(rec store.Record, body PulledBody) error {
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

func (s *state) pairsConfirmed(rec store.Record, body PairsBody) error {
	b, err := s.batchToPair(rec, body.Batch)
	if err != nil {
		return err
	}
	b.pairs, b.pairing.order = &confirmed{PairsBody: body, seq: rec.Seq, at: rec.At(), rule: b.pairing.ruleOr(), locked: len(b.pairing.locked) > 0}, nil
	return nil
}

func (s *state) noted(rec store.Record, body NotedBody) error {
	for _, b := range s.batches {
		if b.body.ID == body.Batch {
			b.notes = append(b.notes, qc.Note{At: rec.At(), Rib: body.Rib, Text: body.Text, By: body.By})
		}
	}
	return nil
}

func (s *state) nextSet(rec store.Record, body NextSetBody) error {
	b := s.open()
	if b == nil || b.body.ID != body.Batch {
		return errNoBatch
	}
	if body.FaceRadiusNM != 0 {
		if _, ok := s.jig(body.Jig); ok {
			return fmt.Errorf("jig %q is on record already", body.Jig)
		}
		s.jigs = append(s.jigs[:len(s.jigs):len(s.jigs)], qc.Jig{ID: body.Jig, FaceRadius: length.Length(body.FaceRadiusNM), Blocks: body.Blocks, At: rec.At()})
	}
	if body.Lot != "" {
		b.lot = body.Lot
	}
	if body.Jig != "" {
		b.jig = body.Jig
	}
	return nil
}

func (o *batch) waiting() int {
	n := 0
	for _, h := range o.held {
		if !h.settled {
			n++
		}
	}
	return n
}
