package session

import (
	"context"
	"path/filepath"

	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"springline/qc"
	"springline/session/show"
)

// checkRows makes the rows, reads them as somebody with SQL would and holds the views against the batch.
func checkRows(t *rapid.T, cfg Config, b qc.Batch, v show.View) {
	if n, err := Rebuild(context.Background(), cfg, false); err != nil || n != v.Seq {
		t.Fatalf("rows made from %d records of %d: %v", n, v.Seq, err)
	}
	db, err := sqlx.Open("sqlite", "file:"+filepath.Join(cfg.Dir, "record.db")+"?mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	ctx := context.Background()
	number := func(query string, args ...any) (n int64) {
		if err := db.GetContext(ctx, &n, query, args...); err != nil {
			t.Fatal(err)
		}
		return n
	}
	counted, sum, studied := int64(0), int64(0), int64(0)
	for _, st := range b.Studies {
		studied += int64(st.Done())
		state := "open"
		switch {
		case st.Finished:
			state = "finished"
		case !st.Open():
			state = "cancelled"
		case st.Paused:
			state = "paused"
		}
		if number(`SELECT count(*) FROM v1_study WHERE id = ? AND state = ? AND coalesce(repeat_nm, 0) = ? AND reason = ? AND
			(ended_us IS NULL) = ?`,
			st.ID, state, int64(st.RepeatSD), st.Cancel, st.Open()) != 1 {
			t.Fatalf("v1_study has not %s as %s", st.ID, state)
		}
	}
	for _, r := range b.Ribs {
		verdict, err := b.Judge(r)
		if err != nil {
			t.Fatal(err)
		}
		if number(`SELECT count(*) FROM v1_rib WHERE batch = ? AND id = ? AND verdict = ? AND round = ? AND lot = ?`, b.ID, r.ID,
			string(verdict.Word), r.Round, r.Lot) != 1 {
			t.Fatalf("v1_rib has not rib %s as %s in round %d", r.ID, verdict.Word, r.Round)
		}
		for _, m := range r.Measurements {
			c, _ := b.Target.Characteristic(m.Char)
			if m.Counts() {
				counted++
				sum += int64(m.Value - c.Nominal)
			}
			if number(`SELECT count(*) FROM v1_measurement WHERE seq = ? AND rib = ? AND char = ? AND value_nm = ? AND counts = ? AND again = ?
AND (voided_seq IS NOT NULL) = ? AND (replaced_seq IS NOT NULL) = ?`, m.Seq, m.Rib, string(m.Char), int64(m.Value), m.Counts(), m.Again,
				m.Voided, m.Replaced) != 1 {
				t.Fatalf("v1_measurement has not %+v", m)
			}
		}
	}
	for _, x := range []struct {
		what      string
		got, want int64
	}{
		{"counted", number(`SELECT count(*) FROM v1_measurement WHERE counts`), counted},
		{"sum of deviations", number(`SELECT coalesce(sum(deviation_nm), 0) FROM v1_measurement WHERE counts`), sum},
		{"ribs", number(`SELECT count(*) FROM v1_rib`), int64(len(b.Ribs))},
		{"held", number(`SELECT count(*) FROM v1_held`), int64(b.Counts.Held)},
		{"waiting", number(`SELECT count(*) FROM v1_held WHERE taken_seq IS NULL AND discarded_seq IS NULL`), int64(len(v.Held))},
		{"discarded", number(`SELECT count(*) FROM v1_held WHERE discarded_seq IS NOT NULL`), int64(b.Counts.Discarded)},
		{"skips", number(`SELECT count(*) FROM v1_skip`), int64(b.Counts.Skipped)},
		{"pulls", number(`SELECT count(*) FROM v1_pull`), int64(len(b.Pulls))},
		{"notes", number(`SELECT count(*) FROM v1_note`), int64(len(b.Notes))},
		{"refused", number(`SELECT count(*) FROM v1_refused WHERE batch = ?`, b.ID), int64(b.Counts.Refused)},
		{"pairs", number(`SELECT count(*) FROM v1_pair WHERE b IS NOT NULL`), int64(len(b.Pairs))},
		{"studies", number(`SELECT count(*) FROM v1_study`), int64(len(b.Studies))},
		{"readings of studies", number(`SELECT count(*) FROM v1_study_reading WHERE counts`), studied},
		{"spares", number(`SELECT count(*) FROM v1_pair WHERE b IS NULL`), int64(len(b.Spares))},
		{"closed", number(`SELECT count(*) FROM v1_batch WHERE closed_us IS NOT NULL`), map[bool]int64{true: 1}[!b.Closed.IsZero()]},
		{"records", number(`SELECT max(seq) FROM v1_record`), v.Seq},
	} {
		if x.got != x.want {
			t.Fatalf("%s: the views say %d, the batch %d", x.what, x.got, x.want)
		}
	}
}
