package session

import (
	"sort"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

func (s *state) batchByID(id string) (qc.Batch, bool) {
	for _, o := range s.batches {
		if o.body.ID == id {
			return s.qcBatch(o), true
		}
	}
	return qc.Batch{}, false
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
		q.PairsSum, q.PairsMin = length.Length(o.pairs.SumNM), length.Length(o.pairs.LowerBound)
		q.Spares = append([]string(nil), o.pairs.Spares...)
		for _, why := range o.pairs.whySpare() {
			q.SpareWhy = append(q.SpareWhy, words.English.Say(why))
		}
	}
	if c := o.pairing.order; c != nil {
		q.Order = &qc.RunOrder{Length: length.Length(c.LengthNM), Bound: length.Length(c.LowerBound), By: c.By, At: c.at}
		for _, st := range c.Order {
			q.Order.Stands = append(q.Order.Stands, qc.Stand{A: st.A, B: st.B, Turned: st.Turned})
		}
	}
	return q
}

// lotsOf are the lots that the batch's ribs came from and the one set for the next rib.
func (s *state) lotsOf(o *batch) []qc.Lot {
	used := map[string]bool{o.lot: true, o.body.Lot: true}
	for _, r := range o.ribs {
		used[r.Lot] = true
	}
	var list []qc.Lot
	for _, l := range s.lots {
		if used[l.ID] {
			list = append(list, l)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].ID < list[j].ID })
	return list
}

// jigsOf are the jig set-ups that the batch used, in the order set.
func (s *state) jigsOf(o *batch) []qc.Jig {
	used := map[string]bool{o.jig: true, o.body.Jig: true}
	for _, r := range o.ribs {
		used[r.Jig] = true
	}
	var list []qc.Jig
	for _, j := range s.jigs {
		if used[j.ID] {
			list = append(list, j)
		}
	}
	return list
}
