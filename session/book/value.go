package book

import (
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

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
