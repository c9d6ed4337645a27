package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"

	"github.com/rs/zerolog"
)

// independent verifies the chain as the package comment describes it and shares no code with Verify: it
// returns the seq of the first record that does not fit, 0 when all do.
func independent(t *testing.T, s *Store) int64 {
	t.Helper()
	rows, err := s.readers.Query(`SELECT bench, epoch, seq, kind, coalesce("key", ''), at_us, zone_s, body, prev,
		hash FROM record ORDER BY bench, epoch, seq`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	last := map[string][]byte{}
	next := map[string]int64{}
	for rows.Next() {
		var bench, kind, key, body string
		var epoch, seq, at, zone int64
		var prev, hash []byte
		if err := rows.Scan(&bench, &epoch, &seq, &kind, &key, &at, &zone, &body, &prev, &hash); err != nil {
			t.Fatal(err)
		}
		if seq != next[bench]+1 {
			return next[bench] + 1
		}
		next[bench] = seq
		chain := fmt.Sprint(bench, epoch)
		if last[chain] == nil {
			last[chain] = make([]byte, 32)
		}
		text := "springline record 1\n" + string(last[chain])
		for _, f := range []any{bench, epoch, seq, kind, key, at, zone, body} {
			text += fmt.Sprintf("%d:%v,", len(fmt.Sprint(f)), f)
		}
		sum := sha256.Sum256([]byte(text))
		if string(prev) != string(last[chain]) || string(hash) != string(sum[:]) {
			return seq
		}
		last[chain] = hash
	}
	return 0
}

func TestChainFormatIsPinned(t *testing.T) {
	r := Seal(Head{}, "bench-1", 1, "noted", "k", start, []byte(`{"text":"ü"}`))
	want := sha256.Sum256([]byte("springline record 1\n" + string(make([]byte, 32)) +
		`7:bench-1,1:1,1:1,5:noted,1:k,16:1777874400000000,4:7200,13:{"text":"ü"},`))
	if r.Digest != want {
		t.Errorf("chain value %s", r.Digest)
	}
	if next := Seal(r.Head(), "bench-1", 2, "noted", "", start, []byte(`{}`)); next.Prev != (Hash{}) || next.Seq != 2 {
		t.Errorf("a new epoch begins with seq %d after %s", next.Seq, next.Prev)
	}
}

// fill stores n records over two epochs.
func fill(t *testing.T, s *Store, n int) {
	t.Helper()
	h := s.Head()
	var list []Record
	for i := range n {
		epoch := int64(1)
		if i >= n/2 {
			epoch = 2
		}
		key := ""
		if i%3 == 0 {
			key = fmt.Sprint("k", i)
		}
		r := Seal(h, "bench-1", epoch, "noted", key, start, fmt.Appendf(nil, `{"text":"n%d"}`, i))
		list, h = append(list, r), r.Head()
	}
	if err := s.Append(list); err != nil {
		t.Fatal(err)
	}
}

func TestVerifyAgreesWithIndependent(t *testing.T) {
	s := open(t, t.TempDir())
	fill(t, s, 40)
	heads, err := s.Verify(context.Background())
	if err != nil || len(heads) != 2 || heads[1] != s.Head() || independent(t, s) != 0 {
		t.Fatalf("heads %v, %v", heads, err)
	}
	h := heads[0]
	if err := s.VerifyHead(context.Background(), h.Epoch, h.Seq, h.Hash.String()); err != nil {
		t.Error(err)
	}
	for _, bad := range []error{
		s.VerifyHead(context.Background(), h.Epoch, h.Seq, heads[1].Hash.String()),
		s.VerifyHead(context.Background(), h.Epoch, 1000, h.Hash.String()),
	} {
		var e *ChainError
		if !errors.As(bad, &e) {
			t.Errorf("another head: %v", bad)
		}
	}
}

// TestTamperingIsFound changes one thing of one record after another, past the triggers, and expects
// both verifiers to name it.
func TestTamperingIsFound(t *testing.T) {
	const n = 24
	rng := rand.New(rand.NewPCG(7, 11))
	changes := []struct {
		name, sql string
		first     func(seq int64) int64 // the record to be named
	}{
		{"body", "UPDATE record SET body = replace(body, 'n', 'm') WHERE seq = ?", nil},
		{"kind", "UPDATE record SET kind = 'measured' WHERE seq = ?", nil},
		{"time", "UPDATE record SET at_us = at_us + 1 WHERE seq = ?", nil},
		{"zone", "UPDATE record SET zone_s = 0 WHERE seq = ?", nil},
		{"key", `UPDATE record SET "key" = 'other' WHERE seq = ?`, nil},
		{"hash", "UPDATE record SET hash = zeroblob(32) WHERE seq = ?", nil},
		{"prev", "UPDATE record SET prev = randomblob(32) WHERE seq = ?", nil},
		{"epoch", "UPDATE record SET epoch = 3 WHERE seq = ?", nil},
		{"drop", "DELETE FROM record WHERE seq = ?", nil},
		{"double", "INSERT INTO record SELECT bench, 9, seq, kind, NULL, at_us, zone_s, body, prev, hash FROM record WHERE seq = ?", nil},
	}
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			for range 4 {
				seq := 1 + rng.Int64N(n-1) // not the last: cutting that off shows only against an outside head
				dir := t.TempDir()
				s := open(t, dir)
				fill(t, s, n)
				db := raw(t, s)
				for _, q := range []string{"DROP TRIGGER record_no_update", "DROP TRIGGER record_no_delete"} {
					if _, err := db.Exec(q); err != nil {
						t.Fatal(err)
					}
				}
				if res, err := db.Exec(c.sql, seq); err != nil {
					t.Fatal(err)
				} else if k, _ := res.RowsAffected(); k != 1 {
					t.Fatalf("changed %d rows", k)
				}
				db.Close()
				r, err := OpenReadOnly(context.Background(), dir, zerolog.Nop())
				if err != nil {
					t.Fatal(err)
				}
				_, err = r.Verify(context.Background())
				var e *ChainError
				if !errors.As(err, &e) {
					t.Fatalf("record %d changed: %v", seq, err)
				}
				if got := independent(t, r); got == 0 || (c.name != "double" && c.name != "epoch" && (e.Seq != seq || got != seq)) {
					t.Errorf("record %d changed; named %d (%v), independently %d", seq, e.Seq, err, got)
				}
				r.Close()
			}
		})
	}
}

// TestRewrittenRecordIsFound changes a record and works its own chain value out anew: the one after it no
// longer follows.
func TestRewrittenRecordIsFound(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	fill(t, s, 12)
	var r Record
	if err := s.Each(context.Background(), "bench-1", 4, 5, func(x Record) error { r = x; return nil }); err != nil {
		t.Fatal(err)
	}
	r.Body = []byte(`{"text":"better"}`)
	sum := r.hash()
	db := raw(t, s)
	if _, err := db.Exec("DROP TRIGGER record_no_update"); err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("UPDATE record SET body = ?, hash = ? WHERE seq = 5", string(r.Body), sum[:]); err != nil {
		t.Fatal(err)
	}
	db.Close()
	s, err := OpenReadOnly(context.Background(), dir, zerolog.Nop())
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	_, err = s.Verify(context.Background())
	var e *ChainError
	if !errors.As(err, &e) || e.Seq != 6 || independent(t, s) != 6 {
		t.Errorf("named %v", err)
	}
}

// TestCutTailNeedsAHead states the limit: whoever can write the file can cut its end off unseen, and
// a head kept elsewhere shows it.
func TestCutTailNeedsAHead(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	fill(t, s, 12)
	h := s.Head()
	db := raw(t, s)
	for _, q := range []string{"DROP TRIGGER record_no_delete", "DELETE FROM record WHERE seq > 10"} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	db.Close()
	r, err := OpenReadOnly(context.Background(), dir, zerolog.Nop())
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Verify(context.Background()); err != nil {
		t.Errorf("the rest is whole: %v", err)
	}
	if err := r.VerifyHead(context.Background(), h.Epoch, h.Seq, h.Hash.String()); err == nil {
		t.Error("the cut was not seen against the head")
	}
}

func TestBackup(t *testing.T) {
	s := open(t, t.TempDir())
	fill(t, s, 30)
	to := filepath.Join(t.TempDir(), fileName)
	for range 2 { // the second replaces the first
		if err := s.Backup(context.Background(), to); err != nil {
			t.Fatal(err)
		}
	}
	add2 := Seal(s.Head(), "bench-1", 2, "noted", "", start, []byte(`{}`))
	if err := s.Append([]Record{add2}); err != nil {
		t.Fatal(err)
	}
	c := open(t, filepath.Dir(to))
	if c.Head().Seq != 30 || independent(t, c) != 0 {
		t.Errorf("copy ends at %d", c.Head().Seq)
	}
	if err := s.Backup(context.Background(), s.path); err == nil {
		t.Error("backed up onto itself")
	}
	if err := s.Backup(context.Background(), "/proc/springline.db"); err == nil {
		t.Error("backed up into nowhere")
	}
	left, _ := filepath.Glob(filepath.Join(filepath.Dir(to), "*.part*"))
	if len(left) > 0 {
		t.Errorf("left behind: %v", left)
	}
}
