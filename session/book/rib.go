package book

import (
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

// Rib is a rib with its version, the number of the last record that changed it.
type Rib struct {
	qc.Rib
	Version int64
	reopen  map[reopenKey]bool // characteristics opened again in a round
}

type reopenKey struct {
	char  qc.CharID
	round int
}

// touch marks that a record changed the rib.
func (r *Rib) touch(seq int64) { r.Version = seq }

// Measurement returns the measurement of that seq in the rib, nil when it is not there.
func (r *Rib) Measurement(seq int64) *qc.Measurement {
	for i := range r.Measurements {
		if r.Measurements[i].Seq == seq {
			return &r.Measurements[i]
		}
	}
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
	n := &Rib{Version: r.Seq, Rib: qc.Rib{ID: body.Rib, Lot: body.Lot, Jig: body.Jig, FirstJig: body.Jig,
		BarLength: length.Length(body.BarLengthNM), Order: body.Order, Round: 1, Started: r.At()}}
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

func (s *Book) skipped(rec store.Record, body log.SkippedBody) error {
	b, r, err := s.ribOf(body.Rib)
	if err != nil {
		return err
	}
	r.Skips = append(r.Skips[:len(r.Skips):len(r.Skips)],
		qc.Skip{Seq: rec.Seq, Char: qc.CharID(body.Char), Round: body.Round, Reason: body.Reason})
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
		return qc.Measurement{Seq: rec.Seq, At: rec.At(), Rib: r.ID, Char: qc.Tip, Round: r.Round, Value: length.Length(v),
			Gauge: body.Gauge, Entry: qc.Typed, By: body.By}
	}
	b.pulls = append(b.pulls, qc.Pull{Seq: rec.Seq, At: rec.At(), Rib: r.ID, Before: m(body.BeforeNM), Loaded: m(body.LoadedNM)})
	r.touch(rec.Seq)
	return nil
}
