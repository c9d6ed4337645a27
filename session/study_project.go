package session

import "springline/session/store"

// The states of a study in its row.
const (
	studyOpenWord      = "open"
	studyPausedWord    = "paused"
	studyCancelledWord = "cancelled"
	studyFinishedWord  = "finished"
)

func projectStudy(tx *store.Tx, _ *state, r store.Record, b StudyStartedBody) error {
	if err := tx.Exec(`INSERT INTO study (bench, id, seq, batch, char, gauge, repeats, seed, started_us, state, reason) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '')`,
		r.Bench, b.Study, r.Seq, b.Batch, b.Char, b.Gauge, b.Repeats, b.Seed, r.AtUS, studyOpenWord); err != nil {
		return err
	}
	for i, s := range b.Steps {
		if err := tx.Exec(`INSERT INTO study_step (bench, study, step, rib, person, round) VALUES (?, ?, ?, ?, ?, ?)`,
			r.Bench, b.Study, i+1, b.Ribs[s.Rib], b.Persons[s.Person], s.Round); err != nil {
			return err
		}
	}
	return nil
}

func projectStudyMeasured(tx *store.Tx, _ *state, r store.Record, b StudyMeasuredBody) error {
	if err := tx.Exec(`INSERT INTO study_reading (bench, seq, study, step, at_us, value_nm, entry, text, unit, by, from_held) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
		r.Bench, r.Seq, b.Study, b.Step, r.AtUS, b.ValueNM, b.Entry, b.Text, b.Unit, b.By, b.FromHeld); err != nil {
		return err
	}
	return markTaken(tx, r, b.FromHeld)
}

// markTaken writes into a held value's row that r took it.
func markTaken(tx *store.Tx, r store.Record, held int64) error {
	if held == 0 {
		return nil
	}
	return tx.Exec(`UPDATE held SET taken_seq = ? WHERE bench = ? AND seq = ?`, r.Seq, r.Bench, held)
}

func setStudyState(tx *store.Tx, r store.Record, study, state string) error {
	return tx.Exec(`UPDATE study SET state = ? WHERE bench = ? AND id = ?`, state, r.Bench, study)
}

func projectStudyPaused(tx *store.Tx, _ *state, r store.Record, b StudyTurnBody) error {
	return setStudyState(tx, r, b.Study, studyPausedWord)
}

func projectStudyResumed(tx *store.Tx, _ *state, r store.Record, b StudyTurnBody) error {
	return setStudyState(tx, r, b.Study, studyOpenWord)
}

func projectStudyCancelled(tx *store.Tx, _ *state, r store.Record, b StudyTurnBody) error {
	return tx.Exec(`UPDATE study SET state = ?, ended_us = ?, reason = ? WHERE bench = ? AND id = ?`, studyCancelledWord, r.AtUS, b.Reason, r.Bench, b.Study)
}

// projectStudyFinished also writes the verdicts that the gauge's new budget changed.
func projectStudyFinished(tx *store.Tx, s *state, r store.Record, b StudyFinishedBody) error {
	if err := tx.Exec(`UPDATE study SET state = ?, ended_us = ?, repeat_nm = ?, repeat_dof = ? WHERE bench = ? AND id = ?`,
		studyFinishedWord, r.AtUS, b.RepeatNM, b.RepeatDOF, r.Bench, b.Study); err != nil {
		return err
	}
	for _, rib := range s.batch.ribs {
		if err := touchRib(tx, s, r, rib.ID); err != nil {
			return err
		}
	}
	return nil
}
