package book

import (
	"errors"
	"fmt"
	"time"

	"springline/qc"
	"springline/session/log"
	"springline/session/store"
)

// Batch is one batch as recorded so far.
type Batch struct {
	Body     log.BatchBody
	Target   qc.Target
	Decision qc.Decision
	opened   time.Time
	Closed   time.Time
	first    int64
	end      store.Head // of the last record, once closed
	asOf     time.Time  // of the last record, once closed

	Lot, Jig string // of the next rib
	Ribs     []*Rib
	Current  *Rib
	Held     []*Held
	pulls    []qc.Pull
	notes    []qc.Note
	Temps    []qc.TemperatureRead // in order; replaced whole when one changes
	Pairs    *Confirmed
	Pairing  PairingState
	Studies  []*Study  // in order; only the last can be open
	counts   qc.Counts // of what is counted as it happens
	Weighed  int64     // the last record that changed a gauge while it was open

	// Once closed: gauges, lots and jigs as they stood, so that a later check changes no old report.
	gauges []qc.Gauge
	lots   []qc.Lot
	jigs   []qc.Jig
}

var errNoBatch = errors.New("no batch is open")

// Open is the batch being measured, nil when there is none.
func (s *Book) Open() *Batch {
	if s.Batch == nil || !s.Batch.Closed.IsZero() {
		return nil
	}
	return s.Batch
}

// Rib finds a rib, nil when the batch has none of that number.
func (b *Batch) Rib(id string) *Rib {
	r, _ := find(b.Ribs, func(r *Rib) bool { return r.ID == id })
	return r
}

// TargetOf is the target as the rib's own bar makes it.
func (b *Batch) TargetOf(r *Rib) qc.Target { return b.Target.ForBar(r.BarLength) }

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
		s.addJig(rec, log.JigBody{ID: body.Jig, FaceRadiusNM: body.FaceRadiusNM, Blocks: body.Blocks})
	}
	if body.Lot != "" {
		b.Lot = body.Lot
	}
	if body.Jig != "" {
		b.Jig = body.Jig
	}
	return nil
}
