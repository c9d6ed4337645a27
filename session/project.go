package session

import (
	"encoding/json"
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/session/store"
)

// project writes the rows of the projections that one record changes. It is given the state after the
// record and is the only code that writes them, live and on rebuild alike.
func project(tx *store.Tx, s *state, r store.Record) error {
	f, ok := projections[EventKind(r.Kind)]
	if !ok {
		return nil
	}
	return f(tx, s, r)
}

type projection func(*store.Tx, *state, store.Record) error

// row makes a projection of a function of the decoded body.
func row[B any](f func(*store.Tx, *state, store.Record, B) error) projection {
	return func(tx *store.Tx, s *state, r store.Record) error {
		var b B
		if err := json.Unmarshal(r.Body, &b); err != nil {
			return err
		}
		return f(tx, s, r, b)
	}
}

// projections has no entry for what only the record itself keeps: epochs and which rib is current.
var projections = map[EventKind]projection{
	GaugeSet:       row(projectGauge),
	LotSet:         row(projectLot),
	JigSet:         row(projectJig),
	TargetSet:      row(projectTarget),
	BatchOpened:    row(projectBatch),
	BatchClosed:    row(projectClosed),
	RibStarted:     row(projectRib),
	RoundStarted:   row(projectRound),
	Measured:       row(projectMeasured),
	Held:           row(projectHeld),
	HeldDiscarded:  row(projectDiscarded),
	Refused:        row(projectRefused),
	Voided:         row(projectVoided),
	Skipped:        row(projectSkipped),
	Pulled:         row(projectPulled),
	PairsConfirmed: row(projectPairs),
	Noted:          row(projectNoted),
	Reopened:       row(projectReopened),
	NextSet:        row(projectNext),
	StudyStarted:   row(projectStudy),
	StudyMeasured:  row(projectStudyMeasured),
	GaugeChecked:   row(projectGaugeChecked),
	GaugeRetired:   row(projectGaugeRetired),
	TemperatureSet: row(projectTemperature),
	StudyPaused:    row(projectStudyPaused),
	StudyResumed:   row(projectStudyResumed),
	StudyCancelled: row(projectStudyCancelled),
	StudyFinished:  row(projectStudyFinished),
}

func projectGaugeChecked(tx *store.Tx, s *state, r store.Record, b GaugeCheckedBody) error {
	return projectChecks(tx, s, r, b.Gauge)
}

func projectGaugeRetired(tx *store.Tx, s *state, r store.Record, b GaugeRetiredBody) error {
	return projectChecks(tx, s, r, b.Gauge)
}

// projectChecks writes the checks of a gauge as they count now.
func projectChecks(tx *store.Tx, s *state, r store.Record, id string) error {
	g, _ := s.gauge(id)
	note := g.Note()
	if g.Retired != "" {
		note = "out of use: " + g.Retired
	}
	return tx.Exec(`UPDATE gauge SET checked_us = ?, due_us = ?, check_note = ? WHERE bench = ? AND id = ?`,
		microsOf(g.Checked), microsOf(g.Due), note, r.Bench, id)
}

func projectGauge(tx *store.Tx, s *state, r store.Record, b GaugeBody) error {
	if err := projectStated(tx, r, b); err != nil {
		return err
	}
	return projectChecks(tx, s, r, b.ID)
}

func projectStated(tx *store.Tx, r store.Record, b GaugeBody) error {
	return tx.Exec(`INSERT INTO gauge (bench, id, seq, name, kind, class, end_face, limit_nm, resolution_nm, unit, measures, checked_us, due_us, check_note, address)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
ON CONFLICT (bench, id) DO UPDATE SET seq = excluded.seq, name = excluded.name, kind = excluded.kind, class = excluded.class,
    end_face = excluded.end_face, limit_nm = excluded.limit_nm, resolution_nm = excluded.resolution_nm, unit = excluded.unit,
    measures = excluded.measures, checked_us = excluded.checked_us, due_us = excluded.due_us, check_note = excluded.check_note, address = excluded.address`,
		r.Bench, b.ID, r.Seq, b.Name, b.Kind, b.Class, b.EndFace, b.LimitNM, b.ResolutionNM, b.Unit, strings.Join(b.Measures, ","),
		b.CheckedUS, b.DueUS, b.CheckNote, b.Address)
}

func projectLot(tx *store.Tx, _ *state, r store.Record, b LotBody) error {
	return tx.Exec(`INSERT INTO lot (bench, id, seq, heat, grade, bar_length_nm, note) VALUES (?, ?, ?, ?, ?, ?, ?)
ON CONFLICT (bench, id) DO UPDATE SET seq = excluded.seq, heat = excluded.heat, grade = excluded.grade, bar_length_nm = excluded.bar_length_nm, note = excluded.note`,
		r.Bench, b.ID, r.Seq, b.Heat, b.Grade, b.BarLengthNM, b.Note)
}

func projectJig(tx *store.Tx, _ *state, r store.Record, b JigBody) error {
	return tx.Exec(`INSERT INTO jig (bench, id, seq, face_radius_nm, blocks, note, at_us) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, b.ID, r.Seq, b.FaceRadiusNM, b.Blocks, b.Note, r.AtUS)
}

func projectTarget(tx *store.Tx, _ *state, r store.Record, b TargetBody) error {
	if err := tx.Exec(`INSERT INTO target (bench, id, revision, seq, name, diameter_nm, grade, yield_mpa, leg_nm, arc_nm, radius_nm, face)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, b.ID, b.Revision, r.Seq, b.Name, b.DiameterNM, b.Grade, b.YieldMPa, b.LegNM, b.ArcNM, b.RadiusNM, b.Face); err != nil {
		return err
	}
	for i, c := range b.Round {
		if err := tx.Exec(`INSERT INTO characteristic (bench, target, revision, place, id, kind, face, nominal_nm, lower_nm, upper_nm, repeats, band_nm)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
			r.Bench, b.ID, b.Revision, i+1, c.ID, c.Kind, c.Face, c.NominalNM, c.LowerNM, c.UpperNM, c.Repeats, c.BandNM); err != nil {
			return err
		}
	}
	return nil
}

func projectBatch(tx *store.Tx, _ *state, r store.Record, b BatchBody) error {
	return tx.Exec(`INSERT INTO batch (bench, id, seq, title, place, maker, planned, target, revision, rule, confidence, temp_half_width_k, face_half_width_nm, jig, lot, opened_us)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, b.ID, r.Seq, b.Title, b.Place, b.Maker, b.Planned, b.Target, b.Revision, b.Rule, b.Confidence, b.TempHalfWidthK, b.FaceHalfWidthNM, b.Jig, b.Lot, r.AtUS)
}

func projectClosed(tx *store.Tx, _ *state, r store.Record, b BatchClosedBody) error {
	return tx.Exec(`UPDATE batch SET closed_us = ? WHERE bench = ? AND id = ?`, r.AtUS, r.Bench, b.Batch)
}

func projectNext(tx *store.Tx, s *state, r store.Record, b NextSetBody) error {
	if b.FaceRadiusNM != 0 {
		if err := projectJig(tx, s, r, JigBody{ID: b.Jig, FaceRadiusNM: b.FaceRadiusNM, Blocks: b.Blocks}); err != nil {
			return err
		}
	}
	return tx.Exec(`UPDATE batch SET lot = ?, jig = ? WHERE bench = ? AND id = ?`, s.batch.lot, s.batch.jig, r.Bench, b.Batch)
}

// ribRow is what the row of a rib says beyond its start. An open rib has no reason here: what is still to
// measure changes with every reading, and the row need not.
type ribRow struct {
	round           int
	jig             string
	verdict, reason string
}

func rowOf(s *state, r *rib) ribRow {
	v, _ := s.judge(s.batch, r)
	row := ribRow{round: r.Round, jig: r.Jig, verdict: string(v.Word)}
	if v.Word != qc.Open {
		row.reason = v.Reason
	}
	return row
}

func projectRib(tx *store.Tx, s *state, r store.Record, b RibBody) error {
	rib := s.batch.rib(b.Rib)
	rib.written = rowOf(s, rib)
	return tx.Exec(`INSERT INTO rib (bench, batch, id, seq, lot, jig, place, started_us, round, verdict, reason)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, b.Batch, b.Rib, r.Seq, b.Lot, b.Jig, b.Order, r.AtUS, rib.written.round, rib.written.verdict, rib.written.reason)
}

// touchRib writes the rib's round and verdict where they changed.
func touchRib(tx *store.Tx, s *state, r store.Record, id string) error {
	rib := s.batch.rib(id)
	row := rowOf(s, rib)
	if row == rib.written {
		return nil
	}
	rib.written = row
	return tx.Exec(`UPDATE rib SET round = ?, jig = ?, verdict = ?, reason = ? WHERE bench = ? AND batch = ? AND id = ?`,
		row.round, row.jig, row.verdict, row.reason, r.Bench, s.batch.body.ID, id)
}

func projectRound(tx *store.Tx, s *state, r store.Record, b RoundBody) error {
	return touchRib(tx, s, r, b.Rib)
}

func projectMeasured(tx *store.Tx, s *state, r store.Record, b MeasuredBody) error {
	m := s.batch.rib(b.Rib).measurement(r.Seq)
	if err := tx.Exec(`INSERT INTO measurement (bench, seq, batch, rib, char, round, at_us, value_nm, gauge, entry, text, unit, by, again, from_held)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, s.batch.body.ID, b.Rib, b.Char, b.Round, r.AtUS, b.ValueNM, b.Gauge, b.Entry, b.Text, b.Unit, b.By, m.Again, b.FromHeld); err != nil {
		return err
	}
	if err := markTaken(tx, r, b.FromHeld); err != nil {
		return err
	}
	if err := markReplaced(tx, r, b.Replaces); err != nil {
		return err
	}
	return touchRib(tx, s, r, b.Rib)
}

func markReplaced(tx *store.Tx, r store.Record, seqs []int64) error {
	for _, seq := range seqs {
		if err := tx.Exec(`UPDATE measurement SET replaced_seq = ? WHERE bench = ? AND seq = ?`, r.Seq, r.Bench, seq); err != nil {
			return err
		}
	}
	return nil
}

func projectReopened(tx *store.Tx, s *state, r store.Record, b ReopenedBody) error {
	if err := markReplaced(tx, r, b.Replaces); err != nil {
		return err
	}
	if b.Held != 0 {
		if err := projectDiscarded(tx, s, r, HeldDiscardedBody{Held: b.Held, Reason: b.Reason}); err != nil {
			return err
		}
	}
	return touchRib(tx, s, r, b.Rib)
}

func projectHeld(tx *store.Tx, s *state, r store.Record, b HeldBody) error {
	return tx.Exec(`INSERT INTO held (bench, seq, batch, rib, char, at_us, value_nm, suggest_nm, gauge, entry, text, unit, reason)
VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, s.batch.body.ID, b.Rib, b.Char, r.AtUS, b.ValueNM, b.Suggest, b.Gauge, b.Entry, b.Text, b.Unit, words.English.Say(b.why()))
}

func projectDiscarded(tx *store.Tx, _ *state, r store.Record, b HeldDiscardedBody) error {
	return tx.Exec(`UPDATE held SET discarded_seq = ?, discard_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Held)
}

func projectRefused(tx *store.Tx, s *state, r store.Record, b RefusedBody) error {
	batch := ""
	if o := s.open(); o != nil {
		batch = o.body.ID
	}
	return tx.Exec(`INSERT INTO refused (bench, seq, batch, at_us, gauge, code, detail) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, batch, r.AtUS, b.Gauge, b.Code, words.English.Say(b.what()))
}

func projectVoided(tx *store.Tx, s *state, r store.Record, b VoidedBody) error {
	if st, _ := s.batch.studyReading(b.Seq); st != nil {
		return tx.Exec(`UPDATE study_reading SET voided_seq = ?, void_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Seq)
	}
	if err := tx.Exec(`UPDATE measurement SET voided_seq = ?, void_reason = ? WHERE bench = ? AND seq = ?`, r.Seq, b.Reason, r.Bench, b.Seq); err != nil {
		return err
	}
	for _, rib := range s.batch.ribs {
		if rib.version == r.Seq {
			return touchRib(tx, s, r, rib.ID)
		}
	}
	return nil
}

func projectSkipped(tx *store.Tx, s *state, r store.Record, b SkippedBody) error {
	if err := tx.Exec(`INSERT INTO skip (bench, seq, batch, rib, char, round, reason) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, s.batch.body.ID, b.Rib, b.Char, b.Round, b.Reason); err != nil {
		return err
	}
	return touchRib(tx, s, r, b.Rib)
}

func projectPulled(tx *store.Tx, s *state, r store.Record, b PulledBody) error {
	if err := tx.Exec(`INSERT INTO pull (bench, seq, batch, rib, at_us, before_nm, loaded_nm, by) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, s.batch.body.ID, b.Rib, r.AtUS, b.BeforeNM, b.LoadedNM, b.By); err != nil {
		return err
	}
	return touchRib(tx, s, r, b.Rib)
}

func projectPairs(tx *store.Tx, _ *state, r store.Record, b PairsBody) error {
	if err := tx.Exec(`DELETE FROM pair WHERE bench = ? AND batch = ?`, r.Bench, b.Batch); err != nil {
		return err
	}
	const insert = `INSERT INTO pair (bench, batch, place, seq, a, b, flip, mismatch_nm, by) VALUES (?, ?, ?, ?, ?, nullif(?, ''), ?, ?, ?)`
	for i, p := range b.Pairs {
		if err := tx.Exec(insert, r.Bench, b.Batch, i+1, r.Seq, p.A, p.B, p.Flip, p.MismatchNM, b.By); err != nil {
			return err
		}
	}
	for i, id := range b.Spares {
		if err := tx.Exec(insert, r.Bench, b.Batch, len(b.Pairs)+i+1, r.Seq, id, "", false, 0, b.By); err != nil {
			return err
		}
	}
	return nil
}

func projectNoted(tx *store.Tx, _ *state, r store.Record, b NotedBody) error {
	return tx.Exec(`INSERT INTO note (bench, seq, batch, rib, at_us, text, by) VALUES (?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, b.Batch, b.Rib, r.AtUS, b.Text, b.By)
}
