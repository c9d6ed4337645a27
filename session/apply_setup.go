package session

import (
	"springline/qc"
	"springline/qc/length"
	"springline/session/store"
)

func (s *state) lotSet(_ store.Record, body LotBody) error {
	l := qc.Lot{ID: body.ID, Heat: body.Heat, Grade: body.Grade, BarLength: length.Length(body.BarLengthNM), Note: body.Note}
	for i := range s.lots {
		if s.lots[i].ID == l.ID {
			s.lots = append([]qc.Lot(nil), s.lots...)
			s.lots[i] = l
			return nil
		}
	}
	s.lots = append(s.lots, l)
	return nil
}

func (s *state) jigSet(rec store.Record, body JigBody) error {
	s.jigs = append(s.jigs, qc.Jig{ID: body.ID, FaceRadius: length.Length(body.FaceRadiusNM), Blocks: body.Blocks, Note: body.Note, At: rec.At()})
	return nil
}

func (s *state) targetSet(_ store.Record, body TargetBody) error {
	s.targets = append(s.targets, body.target())
	return nil
}
