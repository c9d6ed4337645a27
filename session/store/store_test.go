package store

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"
	"github.com/rs/zerolog"
)

func open(t testing.TB, dir string) *Store {
	t.Helper()
	s, err := Open(context.Background(), dir, zerolog.Nop())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

var start = time.Date(2026, 5, 4, 8, 0, 0, 0, time.FixedZone("", 7200))

// add appends n records to epoch 1 in one transaction.
func add(t testing.TB, s *Store, n int) {
	t.Helper()
	h := s.Head()
	var list []Record
	for range n {
		r := Seal(h, "bench-1", 1, "noted", "", start.Add(time.Duration(h.Seq)*time.Second), []byte(`{"text":"n"}`))
		list, h = append(list, r), r.Head()
	}
	if err := s.Append(list); err != nil {
		t.Fatal(err)
	}
}

// raw opens the file by itself, as somebody with a shell would, after the store is closed.
func raw(t testing.TB, s *Store) *sqlx.DB {
	t.Helper()
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	db, err := sqlx.Open("sqlite", dsn(s.path, ""))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	return db
}

func TestPragmasReadBack(t *testing.T) {
	s := open(t, t.TempDir())
	want := map[string]string{"journal_mode": "wal", "synchronous": "2", "foreign_keys": "1", "trusted_schema": "0",
		"cell_size_check": "1", "busy_timeout": "5000", "application_id": "1397772876"}
	for name, v := range want {
		var got string
		if err := s.conn.GetContext(context.Background(), &got, "PRAGMA "+name); err != nil || got != v {
			t.Errorf("%s is %q (%v), want %q", name, got, err, v)
		}
	}
	if _, err := s.readers.Exec("CREATE TABLE x (a)"); err == nil {
		t.Error("a reader could write")
	}
}

func TestEngineVersion(t *testing.T) {
	for _, c := range []struct {
		have string
		ok   bool
	}{{"3.51.2", false}, {"3.51.3", true}, {"3.54.1", true}, {"3.9.9", false}, {"4.0.0", true}, {"3.52", true}} {
		if got := engineAtLeast(c.have, minEngine); got != c.ok {
			t.Errorf("%s: %v", c.have, got)
		}
	}
}

func TestRecordIsNeverChanged(t *testing.T) {
	s := open(t, t.TempDir())
	add(t, s, 2)
	db := raw(t, s)
	for _, q := range []string{"UPDATE record SET body = '{}'", "DELETE FROM record", "REPLACE INTO record SELECT * FROM record"} {
		if _, err := db.Exec(q); err == nil {
			t.Errorf("%s: went through", q)
		}
	}
}

func TestAppendRefusesWhatDoesNotFollow(t *testing.T) {
	s := open(t, t.TempDir())
	add(t, s, 1)
	h := s.Head()
	r := Seal(Head{Bench: "bench-1", Epoch: 1, Seq: 5, Hash: h.Hash}, "bench-1", 1, "noted", "", start, []byte(`{}`))
	if err := s.Append([]Record{r}); err == nil {
		t.Error("a gap was stored")
	}
	r = Seal(h, "bench-1", 1, "noted", "", start, []byte(`{}`))
	r.Body = []byte(`{"changed":1}`)
	if err := s.Append([]Record{r}); err == nil {
		t.Error("a record with another body than its chain value was stored")
	}
	add(t, s, 1)
}

func TestKeyIsUsedOnce(t *testing.T) {
	s := open(t, t.TempDir())
	put := func() error {
		return s.Append([]Record{Seal(s.Head(), "bench-1", 1, "noted", "k1", start, []byte(`{}`))})
	}
	if err := put(); err != nil {
		t.Fatal(err)
	}
	if err := put(); !errors.Is(err, ErrKeyUsed) {
		t.Fatalf("second use of a key: %v", err)
	}
	add(t, s, 1) // the writer is not poisoned by it
	r, ok, err := s.ByKey(context.Background(), "bench-1", "k1")
	if err != nil || !ok || r.Seq != 1 {
		t.Errorf("by key: %+v %v %v", r, ok, err)
	}
	if _, ok, _ := s.ByKey(context.Background(), "bench-1", ""); ok {
		t.Error("found the empty key")
	}
}

// A failure while rows are made leaves them as they were, and the record in use for writing goes on.
func TestRowsAreMadeWholeOrNotAtAll(t *testing.T) {
	ctx, dir := context.Background(), t.TempDir()
	s := open(t, dir)
	add(t, s, 3)
	note := func(seq int64) func(*Tx) error {
		return func(tx *Tx) error {
			return tx.Exec("INSERT INTO note (bench, seq, batch, rib, at_us, text, by) VALUES ('b', ?, '', '', 0, '', '')", seq)
		}
	}
	nothing := func(*Tx, Record) error { return nil }
	notes := func(want int) {
		t.Helper()
		var n int
		if err := s.readers.Get(&n, "SELECT count(*) FROM note"); err != nil || n != want {
			t.Errorf("%d notes, want %d, %v", n, want, err)
		}
	}
	planned := errors.New("planned")
	if _, err := s.Rebuild(ctx, false, nothing, func(tx *Tx) error { return errors.Join(note(1)(tx), planned) }); !errors.Is(err, planned) {
		t.Fatalf("got %v", err)
	}
	notes(0)
	if n, err := s.Rebuild(ctx, false, nothing, note(1)); n != 3 || err != nil {
		t.Fatalf("from %d records: %v", n, err)
	}
	notes(1)
	if _, err := s.Rebuild(ctx, true, nothing, note(1)); err != nil {
		t.Errorf("the same rows: %v", err)
	}
	var differ *RebuildError
	if _, err := s.Rebuild(ctx, true, nothing, note(2)); !errors.As(err, &differ) || len(differ.Differences) != 1 ||
		differ.Differences[0].Table != "note" || differ.Differences[0].Rows != 2 {
		t.Errorf("another row: %v", err)
	}
	notes(1)
	add(t, s, 1)
	if err := s.DropRows(ctx); err != nil {
		t.Fatal(err)
	}
	notes(0)
	if s.Head().Seq != 4 {
		t.Errorf("head %d", s.Head().Seq)
	}
}

func TestStrictTables(t *testing.T) {
	s := open(t, t.TempDir())
	add(t, s, 1)
	db := raw(t, s)
	for _, q := range []string{
		`INSERT INTO measurement VALUES ('b', 1, 'x', '01', 'tip', 1, 0, 1.5, 'g', 'sent', '', '', '', 0, 0, NULL, NULL, NULL)`,
		`INSERT INTO record VALUES ('b', 1, 1, 'k', NULL, 0, 0, 'no json', zeroblob(32), zeroblob(32))`,
		`INSERT INTO record VALUES ('b', 1, 1, 'k', NULL, 0, 0, '{}', zeroblob(31), zeroblob(32))`,
		`INSERT INTO record VALUES ('b', 0, 1, 'k', NULL, 0, 0, '{}', zeroblob(32), zeroblob(32))`,
		`INSERT INTO record SELECT * FROM record`,
	} {
		if _, err := db.Exec(q); err == nil {
			t.Errorf("%s: went through", q)
		}
	}
}

func TestReopenFindsHead(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, 7)
	h := s.Head()
	s.Close()
	s = open(t, dir)
	if s.Head() != h {
		t.Errorf("head %+v, was %+v", s.Head(), h)
	}
	if _, err := os.Stat(filepath.Join(dir, fileName+"-wal")); err != nil {
		t.Errorf("the write-ahead log was not kept: %v", err)
	}
}

func TestMigrationsAreTheOnesApplied(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, 1)
	db := raw(t, s)
	if _, err := db.Exec("UPDATE migration SET sha256 = 'x' WHERE version = 1"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	var e *OpenError
	if _, err := Open(context.Background(), dir, zerolog.Nop()); !errors.As(err, &e) || e.Fault != FaultForeign {
		t.Errorf("a schema step that differs: %v", err)
	}
}
