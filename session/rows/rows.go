package rows

import (
	"encoding/json"
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
	"springline/session/store"
)

// Rows for those who read with SQL are made from the record when somebody asks: what each record says stands
// in a row at once, what they add up to is filled in at the end.

// addRow writes the rows that one record makes or marks, given the state after it.
func addRow(tx *store.Tx, s *book.Book, r store.Record) error {
	f, ok := rows[log.Kind(r.Kind)]
	if !ok {
		return nil
	}
	return f(tx, s, r)
}

type row func(*store.Tx, *book.Book, store.Record) error

// rowOf makes a row of a function of the decoded body.
func rowOf[B any](f func(*store.Tx, *book.Book, store.Record, B) error) row {
	return func(tx *store.Tx, s *book.Book, r store.Record) error {
		var b B
		if err := json.Unmarshal(r.Body, &b); err != nil {
			return err
		}
		return f(tx, s, r, b)
	}
}

// put adds a row, "INTO table", or one that replaces the row of its key, "OR REPLACE INTO table".
func put(tx *store.Tx, into, columns string, values ...any) error {
	marks := strings.Repeat("?, ", len(values)-1) + "?"
	return tx.Exec("INSERT "+into+" ("+columns+") VALUES ("+marks+")", values...)
}

// rows has no entry for what the state at the end says and for what only the record itself keeps.
var rows = map[log.Kind]row{
	log.GaugeSet:       rowOf(gaugeRow),
	log.LotSet:         rowOf(lotRow),
	log.JigSet:         rowOf(jigRow),
	log.TargetSet:      rowOf(targetRows),
	log.BatchOpened:    rowOf(batchRow),
	log.BatchClosed:    rowOf(closedRow),
	log.RibStarted:     rowOf(ribRow),
	log.Measured:       rowOf(measuredRow),
	log.Held:           rowOf(heldRow),
	log.HeldDiscarded:  rowOf(discardedRow),
	log.Refused:        rowOf(refusedRow),
	log.Voided:         rowOf(voidedRow),
	log.Skipped:        rowOf(skippedRow),
	log.Pulled:         rowOf(pulledRow),
	log.PairsConfirmed: rowOf(pairRows),
	log.Noted:          rowOf(notedRow),
	log.Reopened:       rowOf(reopenedRow),
	log.NextSet:        rowOf(nextRow),
	log.StudyStarted:   rowOf(studyRows),
	log.StudyMeasured:  rowOf(studyMeasuredRow),
}

// finishRows fills in what the whole record says of gauges, batches, ribs and studies.
func finishRows(tx *store.Tx, s *book.Book) error {
	for _, g := range s.Gauges {
		note := g.Note()
		if g.Retired != "" {
			note = "out of use: " + g.Retired
		}
		if err := tx.Exec(`UPDATE gauge SET checked_us = ?, due_us = ?, check_note = ? WHERE bench = ? AND id = ?`,
			log.MicrosOf(g.Checked), log.MicrosOf(g.Due), note, s.Bench, g.ID); err != nil {
			return err
		}
	}
	for _, b := range s.Batches {
		if err := tx.Exec(`UPDATE batch SET lot = ?, jig = ? WHERE bench = ? AND id = ?`, b.Lot, b.Jig, s.Bench, b.Body.ID); err != nil {
			return err
		}
		for _, r := range b.Ribs {
			v, _ := s.Judge(b, r) // one that cannot be judged is open
			reason := words.English.Say(v.Why)
			if v.Word == qc.Open {
				reason = ""
			}
			if err := tx.Exec(`UPDATE rib SET round = ?, jig = ?, verdict = ?, reason = ? WHERE bench = ? AND batch = ? AND id = ?`,
				r.Round, r.Jig, string(v.Word), reason, s.Bench, b.Body.ID, r.ID); err != nil {
				return err
			}
		}
		for _, st := range b.Studies {
			if err := endStudy(tx, s.Bench, st); err != nil {
				return err
			}
		}
	}
	return nil
}

func gaugeRow(tx *store.Tx, _ *book.Book, r store.Record, b log.GaugeBody) error {
	return put(tx, "OR REPLACE INTO gauge", "bench, id, seq, name, kind, class, end_face, limit_nm, resolution_nm, unit, "+
		"measures, checked_us, due_us, check_note, address",
		r.Bench, b.ID, r.Seq, b.Name, b.Kind, b.Class, b.EndFace, b.LimitNM, b.ResolutionNM, b.Unit, strings.Join(b.Measures, ","), 0, 0, "",
		b.Address)
}

func lotRow(tx *store.Tx, _ *book.Book, r store.Record, b log.LotBody) error {
	return put(tx, "OR REPLACE INTO lot", "bench, id, seq, heat, grade, bar_length_nm, note",
		r.Bench, b.ID, r.Seq, b.Heat, b.Grade, b.BarLengthNM, b.Note)
}

func jigRow(tx *store.Tx, _ *book.Book, r store.Record, b log.JigBody) error {
	return put(tx, "INTO jig", "bench, id, seq, face_radius_nm, blocks, note, at_us",
		r.Bench, b.ID, r.Seq, b.FaceRadiusNM, b.Blocks, b.Note, r.AtUS)
}

func nextRow(tx *store.Tx, s *book.Book, r store.Record, b log.NextSetBody) error {
	if b.FaceRadiusNM == 0 {
		return nil
	}
	return jigRow(tx, s, r, log.JigBody{ID: b.Jig, FaceRadiusNM: b.FaceRadiusNM, Blocks: b.Blocks})
}

func targetRows(tx *store.Tx, _ *book.Book, r store.Record, b log.TargetBody) error {
	if err := put(tx, "INTO target", "bench, id, revision, seq, name, diameter_nm, grade, yield_mpa, leg_nm, arc_nm, "+
		"radius_nm, face",
		r.Bench, b.ID, b.Revision, r.Seq, b.Name, b.DiameterNM, b.Grade, b.YieldMPa, b.LegNM, b.ArcNM, b.RadiusNM, b.Face); err != nil {
		return err
	}
	for i, c := range b.Round {
		if err := put(tx, "INTO characteristic", "bench, target, revision, place, id, kind, face, nominal_nm, lower_nm, "+
			"upper_nm, repeats, band_nm",
			r.Bench, b.ID, b.Revision, i+1, c.ID, c.Kind, c.Face, c.NominalNM, c.LowerNM, c.UpperNM, c.Repeats, c.BandNM); err != nil {
			return err
		}
	}
	return nil
}

func batchRow(tx *store.Tx, _ *book.Book, r store.Record, b log.BatchBody) error {
	return put(tx, "INTO batch", "bench, id, seq, title, place, maker, planned, target, revision, rule, confidence, "+
		"temp_half_width_k, face_half_width_nm, jig, lot, opened_us",
		r.Bench, b.ID, r.Seq, b.Title, b.Place, b.Maker, b.Planned, b.Target, b.Revision, b.Rule, b.Confidence, b.TempHalfWidthK,
		b.FaceHalfWidthNM, b.Jig, b.Lot, r.AtUS)
}

func closedRow(tx *store.Tx, _ *book.Book, r store.Record, b log.BatchClosedBody) error {
	return tx.Exec(`UPDATE batch SET closed_us = ? WHERE bench = ? AND id = ?`, r.AtUS, r.Bench, b.Batch)
}

func ribRow(tx *store.Tx, _ *book.Book, r store.Record, b log.RibBody) error {
	return put(tx, "INTO rib", "bench, batch, id, seq, lot, jig, place, started_us, round, verdict, reason",
		r.Bench, b.Batch, b.Rib, r.Seq, b.Lot, b.Jig, b.Order, r.AtUS, 1, "", "")
}

func measuredRow(tx *store.Tx, s *book.Book, r store.Record, b log.MeasuredBody) error {
	m := s.Batch.Rib(b.Rib).Measurement(r.Seq)
	if err := put(tx, "INTO measurement", "bench, seq, batch, rib, char, round, at_us, value_nm, gauge, entry, text, "+
		"unit, by, again, from_held",
		r.Bench, r.Seq, s.Batch.Body.ID, b.Rib, b.Char, b.Round, r.AtUS, b.ValueNM, b.Gauge, b.Entry, b.Text, b.Unit, b.By, m.Again,
		b.FromHeld); err != nil {
		return err
	}
	if err := markTaken(tx, r, b.FromHeld); err != nil {
		return err
	}
	return markReplaced(tx, r, b.Replaces)
}

// markTaken writes into a held value's row that r took it.
func markTaken(tx *store.Tx, r store.Record, held int64) error {
	if held == 0 {
		return nil
	}
	return tx.Exec(`UPDATE held SET taken_seq = ? WHERE bench = ? AND seq = ?`, r.Seq, r.Bench, held)
}

func markReplaced(tx *store.Tx, r store.Record, seqs []int64) error {
	for _, seq := range seqs {
		if err := tx.Exec(`UPDATE measurement SET replaced_seq = ? WHERE bench = ? AND seq = ?`, r.Seq, r.Bench, seq); err != nil {
			return err
		}
	}
	return nil
}

func reopenedRow(tx *store.Tx, s *book.Book, r store.Record, b log.ReopenedBody) error {
	if err := markReplaced(tx, r, b.Replaces); err != nil || b.Held == 0 {
		return err
	}
	return discardedRow(tx, s, r, log.HeldDiscardedBody{Held: b.Held, Reason: b.Reason})
}

func heldRow(tx *store.Tx, s *book.Book, r store.Record, b log.HeldBody) error {
	return put(tx, "INTO held", "bench, seq, batch, rib, char, at_us, value_nm, suggest_nm, gauge, entry, text, unit, reason",
		r.Bench, r.Seq, s.Batch.Body.ID, b.Rib, b.Char, r.AtUS, b.ValueNM, b.Suggest, b.Gauge, b.Entry, b.Text, b.Unit,
		words.English.Say(b.WhyHeld()))
}

func discardedRow(tx *store.Tx, _ *book.Book, r store.Record, b log.HeldDiscardedBody) error {
	return tx.Exec(`UPDATE held SET discarded_seq = ?, discard_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Held)
}

func refusedRow(tx *store.Tx, s *book.Book, r store.Record, b log.RefusedBody) error {
	batch := ""
	if o := s.Open(); o != nil {
		batch = o.Body.ID
	}
	return put(tx, "INTO refused", "bench, seq, batch, at_us, gauge, code, detail",
		r.Bench, r.Seq, batch, r.AtUS, b.Gauge, b.Code, words.English.Say(b.WhatFailed()))
}

func voidedRow(tx *store.Tx, s *book.Book, r store.Record, b log.VoidedBody) error {
	if st, _ := s.Batch.StudyReading(b.Seq); st != nil {
		return tx.Exec(`UPDATE study_reading SET voided_seq = ?, void_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Seq)
	}
	return tx.Exec(`UPDATE measurement SET voided_seq = ?, void_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Seq)
}

func skippedRow(tx *store.Tx, s *book.Book, r store.Record, b log.SkippedBody) error {
	return put(tx, "INTO skip", "bench, seq, batch, rib, char, round, reason",
		r.Bench, r.Seq, s.Batch.Body.ID, b.Rib, b.Char, b.Round, b.Reason)
}

func pulledRow(tx *store.Tx, s *book.Book, r store.Record, b log.PulledBody) error {
	return put(tx, "INTO pull", "bench, seq, batch, rib, at_us, before_nm, loaded_nm, by",
		r.Bench, r.Seq, s.Batch.Body.ID, b.Rib, r.AtUS, b.BeforeNM, b.LoadedNM, b.By)
}

func pairRows(tx *store.Tx, _ *book.Book, r store.Record, b log.PairsBody) error {
	if err := tx.Exec(`DELETE FROM pair WHERE bench = ? AND batch = ?`, r.Bench, b.Batch); err != nil {
		return err
	}
	const columns = "bench, batch, place, seq, a, b, flip, mismatch_nm, by"
	for i, p := range b.Pairs {
		if err := put(tx, "INTO pair", columns, r.Bench, b.Batch, i+1, r.Seq, p.A, p.B, p.Flip, p.MismatchNM, b.By); err != nil {
			return err
		}
	}
	for i, id := range b.Spares {
		if err := put(tx, "INTO pair", columns, r.Bench, b.Batch, len(b.Pairs)+i+1, r.Seq, id, nil, false, 0, b.By); err != nil {
			return err
		}
	}
	return nil
}

func notedRow(tx *store.Tx, _ *book.Book, r store.Record, b log.NotedBody) error {
	return put(tx, "INTO note", "bench, seq, batch, rib, at_us, text, by",
		r.Bench, r.Seq, b.Batch, b.Rib, r.AtUS, b.Text, b.By)
}
