package book

import (
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// BatchByID copies a batch out; false when it is not on record.
func (s *Book) BatchByID(id string) (qc.Batch, bool) {
	o, ok := find(s.Batches, func(o *Batch) bool { return o.Body.ID == id })
	if !ok {
		return qc.Batch{}, false
	}
	return s.QcBatch(o), true
}

// QcBatch copies what is needed out of the state, which only ever replaces and appends, so that slices
// handed out stay as they were.
func (s *Book) QcBatch(o *Batch) qc.Batch {
	q := qc.Batch{
		ID: o.Body.ID, Title: o.Body.Title, Place: o.Body.Place, Maker: o.Body.Maker, Planned: o.Body.Planned,
		Target: o.Target, Decision: o.Decision, Opened: o.opened, Closed: o.Closed,
		Counts: o.counts, Pulls: append([]qc.Pull(nil), o.pulls...), Notes: append([]qc.Note(nil), o.notes...),
		Record: qc.Record{Bench: s.Bench, Epoch: s.Epoch, First: o.first, Last: s.Seq, Head: s.Head.String()},
		AsOf:   s.At, PairRule: o.Pairing.RuleOr(),
	}
	if o.Closed.IsZero() {
		q.Lots, q.Jigs, q.Gauges = s.lotsOf(o), s.jigsOf(o), s.QcGauges()
	} else {
		q.Lots, q.Jigs, q.Gauges, q.AsOf = o.lots, o.jigs, o.gauges, o.asOf
		q.Record.Epoch, q.Record.Last, q.Record.Head = o.end.Epoch, o.end.Seq, o.end.Hash.String()
	}
	q.Temps = o.Temps
	for _, st := range o.Studies {
		q.Studies = append(q.Studies, st.Study)
	}
	for _, r := range o.Ribs {
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
	if o.Pairs != nil {
		for _, p := range o.Pairs.Pairs {
			l, locked := o.Pairing.LockOf(p.A)
			q.Pairs = append(q.Pairs, qc.PairOf{A: p.A, B: p.B, Flip: p.Flip, MismatchNM: p.MismatchNM,
				Locked: locked && l.Has(p.B), ConfirmedBy: o.Pairs.By, At: o.Pairs.At})
		}
		q.PairRule = o.Pairs.Rule // the one that their proof is about
		q.PairsSum, q.PairsMin = length.Length(o.Pairs.SumNM), length.Length(o.Pairs.LowerBound)
		q.Spares = append([]string(nil), o.Pairs.Spares...)
		for _, why := range o.Pairs.WhySpare() {
			q.SpareWhy = append(q.SpareWhy, words.English.Say(why))
		}
	}
	if c := o.Pairing.Order; c != nil {
		q.Order = &qc.RunOrder{Length: length.Length(c.LengthNM), Bound: length.Length(c.LowerBound), By: c.By, At: c.At}
		for _, st := range c.Order {
			q.Order.Stands = append(q.Order.Stands, qc.Stand{A: st.A, B: st.B, Turned: st.Turned})
		}
	}
	return q
}
