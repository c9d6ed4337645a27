package rows

import (
	"springline/session/book"
	"springline/session/log"
	"springline/session/store"
)

func studyRows(tx *store.Tx, _ *book.Book, r store.Record, b log.StudyStartedBody) error {
	if err := put(tx, "INTO study", "bench, id, seq, batch, char, gauge, repeats, seed, started_us, state, reason",
		r.Bench, b.Study, r.Seq, b.Batch, b.Char, b.Gauge, b.Repeats, b.Seed, r.AtUS, "", ""); err != nil {
		return err
	}
	for i, s := range b.Steps {
		if err := put(tx, "INTO study_step", "bench, study, step, rib, person, round",
			r.Bench, b.Study, i+1, b.Ribs[s.Rib], b.Persons[s.Person], s.Round); err != nil {
			return err
		}
	}
	return nil
}

func studyMeasuredRow(tx *store.Tx, _ *book.Book, r store.Record, b log.StudyMeasuredBody) error {
	if err := put(tx, "INTO study_reading", "bench, seq, study, step, at_us, value_nm, entry, text, unit, by, from_held",
		r.Bench, r.Seq, b.Study, b.Step, r.AtUS, b.ValueNM, b.Entry, b.Text, b.Unit, b.By, b.FromHeld); err != nil {
		return err
	}
	return markTaken(tx, r, b.FromHeld)
}

// endStudy writes how a study stands at the end of the record.
func endStudy(tx *store.Tx, bench string, st *book.Study) error {
	word, ended, sd, dof := "open", any(nil), any(nil), any(nil)
	if st.Paused {
		word = "paused"
	}
	if !st.Open() {
		word, ended = "cancelled", log.MicrosOf(st.Ended)
	}
	if st.Finished {
		word, sd, dof = "finished", int64(st.RepeatSD), st.RepeatDOF
	}
	return tx.Exec(`UPDATE study SET state = ?, ended_us = ?, reason = ?, repeat_nm = ?, repeat_dof = ? WHERE bench = ? AND id = ?`,
		word, ended, st.Cancel, sd, dof, bench, st.ID)
}
