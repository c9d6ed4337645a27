package book

import (
	"sort"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

// Target finds a revision of a target; false when it is not on record.
func (s *Book) Target(id string, revision int) (qc.Target, bool) {
	return find(s.targets, func(t qc.Target) bool { return t.ID == id && t.Revision == revision })
}

// Lot finds a stock lot; false when it is not on record.
func (s *Book) Lot(id string) (qc.Lot, bool) {
	return find(s.Lots, func(l qc.Lot) bool { return l.ID == id })
}

// Jig finds a jig set-up; false when it is not on record.
func (s *Book) Jig(id string) (qc.Jig, bool) {
	return find(s.Jigs, func(j qc.Jig) bool { return j.ID == id })
}

func (s *Book) lotSet(_ store.Record, body log.LotBody) error {
	l := qc.Lot{ID: body.ID, Heat: body.Heat, Grade: body.Grade, BarLength: length.Length(body.BarLengthNM), Note: body.Note}
	for i := range s.Lots {
		if s.Lots[i].ID == l.ID {
			s.Lots = append([]qc.Lot(nil), s.Lots...)
			s.Lots[i] = l
			return nil
		}
	}
	s.Lots = append(s.Lots, l)
	return nil
}

func (s *Book) jigSet(rec store.Record, body log.JigBody) error {
	s.addJig(rec, body)
	return nil
}

func (s *Book) addJig(rec store.Record, b log.JigBody) {
	s.Jigs = append(s.Jigs[:len(s.Jigs):len(s.Jigs)],
		qc.Jig{ID: b.ID, FaceRadius: length.Length(b.FaceRadiusNM), Blocks: b.Blocks, Note: b.Note, At: rec.At()})
}

func (s *Book) targetSet(_ store.Record, body log.TargetBody) error {
	s.targets = append(s.targets, body.Target())
	return nil
}

// lotsOf are the lots that the batch's ribs came from and the one set for the next rib.
func (s *Book) lotsOf(o *Batch) []qc.Lot {
	used := map[string]bool{o.Lot: true, o.Body.Lot: true}
	for _, r := range o.Ribs {
		used[r.Lot] = true
	}
	var list []qc.Lot
	for _, l := range s.Lots {
		if used[l.ID] {
			list = append(list, l)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].ID < list[j].ID })
	return list
}

// jigsOf are the jig set-ups that the batch used, in the order set.
func (s *Book) jigsOf(o *Batch) []qc.Jig {
	used := map[string]bool{o.Jig: true, o.Body.Jig: true}
	for _, r := range o.Ribs {
		used[r.Jig] = true
	}
	var list []qc.Jig
	for _, j := range s.Jigs {
		if used[j.ID] {
			list = append(list, j)
		}
	}
	return list
}
