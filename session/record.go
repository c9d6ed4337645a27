package session

import (
	"context"

	"springline/qc"
	"springline/qc/words"
)

// Batch is everything on record of a batch, by value, as of the last record. A closed batch is as it
// was when it was closed.
func (b *Bench) Batch(id string) (qc.Batch, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.state.batchByID(id)
}

// BatchAt is the batch as of record seq.
func (b *Bench) BatchAt(ctx context.Context, id string, seq int64) (qc.Batch, error) {
	s, err := replay(ctx, b.store, b.cfg.Bench, seq)
	if err != nil {
		return qc.Batch{}, err
	}
	if s.seq != seq {
		return qc.Batch{}, problem(CodeUnknown, "seq", "", "the record ends at %d and has no record %d", s.seq, seq)
	}
	return s.batchByID(id)
}

// Batches lists the ids of the batches on record, oldest first.
func (b *Bench) Batches() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	list := []string{}
	for _, o := range b.state.batches {
		list = append(list, o.body.ID)
	}
	return list
}

func (s *state) batchByID(id string) (qc.Batch, error) {
	for _, o := range s.batches {
		if o.body.ID == id {
			return s.qcBatch(o), nil
		}
	}
	return qc.Batch{}, problem(CodeUnknown, "batch", "name one that is", "batch %q is not on record", id)
}

// qcBatch copies what is needed out of the state, which only ever replaces and appends, so that slices
// handed out stay as they were.
func (s *state) qcBatch(o *batch) qc.Batch {
	q := qc.Batch{
		ID: o.body.ID, Title: o.body.Title, Place: o.body.Place, Maker: o.body.Maker, Planned: o.body.Planned,
		Target: o.target, Decision: o.decision, Opened: o.opened, Closed: o.closed,
		Counts: o.counts, Pulls: append([]qc.Pull(nil), o.pulls...), Notes: append([]qc.Note(nil), o.notes...),
		Record: qc.Record{Bench: s.bench, Epoch: s.epoch, First: o.first, Last: s.seq, Head: s.head.String()},
		AsOf:   s.at, PairRule: o.pairing.ruleOr(),
	}
	if o.closed.IsZero() {
		q.Lots, q.Jigs, q.Gauges = s.lotsOf(o), s.jigsOf(o), s.qcGauges()
	} else {
		q.Lots, q.Jigs, q.Gauges, q.AsOf = o.lots, o.jigs, o.gauges, o.asOf
		q.Record.Epoch, q.Record.Last, q.Record.Head = o.end.Epoch, o.end.Seq, o.end.Hash.String()
	}
	q.Temps = o.temps
	for _, st := range o.studies {
		q.Studies = append(q.Studies, st.Study)
	}
	for _, r := range o.ribs {
		q.Ribs = append(q.Ribs, r.Rib)
		for _, m := range r.Measurements {
			if !m.Counts() {
				continue
			}
			q.Counts.Measured++
			if m.Entry == qc.Typed {
				q.Counts.Typed++
			}
		}
	}
	if o.pairs != nil {
		for _, p := range o.pairs.Pairs {
			l, locked := o.pairing.lockOf(p.A)
			q.Pairs = append(q.Pairs, qc.PairOf{A: p.A, B: p.B, Flip: p.Flip, MismatchNM: p.MismatchNM, Locked: locked && l.has(p.B), ConfirmedBy: o.pairs.By, At: o.pairs.at})
		}
		q.PairRule = o.pairs.rule // the one that their proof is about
		q.PairsSum, q.PairsMin = nm(o.pairs.SumNM), nm(o.pairs.LowerBound)
		q.Spares = append([]string(nil), o.pairs.Spares...)
		for _, why := range o.pairs.sparesWhy() {
			q.SpareWhy = append(q.SpareWhy, words.English.Say(why))
		}
	}
	if c := o.pairing.order; c != nil {
		q.Order = &qc.RunOrder{Length: nm(c.LengthNM), Bound: nm(c.LowerBound), By: c.By, At: c.at}
		for _, st := range c.Order {
			q.Order.Stands = append(q.Order.Stands, qc.Stand{A: st.A, B: st.B, Turned: st.Turned})
		}
	}
	return q
}
