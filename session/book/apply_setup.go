package book

import (
	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

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
	s.Jigs = append(s.Jigs, qc.Jig{ID: body.ID, FaceRadius: length.Length(body.FaceRadiusNM), Blocks: body.Blocks, Note: body.Note, At: rec.At()})
	return nil
}

func (s *Book) targetSet(_ store.Record, body log.TargetBody) error {
	s.targets = append(s.targets, body.Target())
	return nil
}
