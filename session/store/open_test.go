package store

import (
	"bytes"
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/jmoiron/sqlx"
	"github.com/rs/zerolog"
)

func openFault(t *testing.T, dir string) *OpenError {
	t.Helper()
	s, err := Open(context.Background(), dir, zerolog.Nop())
	if err == nil {
		s.Close()
		t.Fatal("was opened")
	}
	var e *OpenError
	if !errors.As(err, &e) {
		t.Fatalf("not an OpenError: %v", err)
	}
	if e.Cause == "" || e.Do == "" || !strings.Contains(err.Error(), e.Path) {
		t.Errorf("message does not say file, cause and what to do: %q", err)
	}
	return e
}

// makeFile puts a file in place of the record and returns a check that it was not touched.
func makeFile(t *testing.T, dir string, content []byte) (untouched func()) {
	t.Helper()
	path := filepath.Join(dir, fileName)
	if content != nil {
		if err := os.WriteFile(path, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return func() {
		t.Helper()
		after, err := os.ReadFile(path)
		if err != nil || !bytes.Equal(before, after) {
			t.Errorf("the file was changed (%v)", err)
		}
	}
}

// sqliteFile makes a database of another program.
func sqliteFile(t *testing.T, dir string, statements ...string) {
	t.Helper()
	db, err := sqlx.Open("sqlite", dsn(filepath.Join(dir, fileName), ""))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range statements {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
}

func TestForeignFiles(t *testing.T) {
	t.Run("text", func(t *testing.T) {
		dir := t.TempDir()
		untouched := makeFile(t, dir, bytes.Repeat([]byte("not a database\n"), 40))
		if e := openFault(t, dir); e.Fault != FaultForeign {
			t.Errorf("fault %q", e.Fault)
		}
		untouched()
	})
	for name, statements := range map[string][]string{
		"table":  {"CREATE TABLE x (a)"},
		"marked": {"PRAGMA application_id = 77"},
		"wal":    {"PRAGMA journal_mode = WAL", "CREATE TABLE x (a)"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			sqliteFile(t, dir, statements...)
			untouched := makeFile(t, dir, nil)
			if e := openFault(t, dir); e.Fault != FaultForeign {
				t.Errorf("fault %q", e.Fault)
			}
			untouched()
			if _, err := OpenReadOnly(context.Background(), dir, zerolog.Nop()); err == nil {
				t.Error("was opened for reading")
			}
			untouched()
		})
	}
}

// TestForeignFileInUse leaves a foreign write-ahead log beside the file, as a program that was killed does:
// merely opening and closing it would move that log into the file.
func TestForeignFileInUse(t *testing.T) {
	from := t.TempDir()
	db, err := sqlx.Open("sqlite", dsn(filepath.Join(from, fileName), ""))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	for _, q := range []string{"PRAGMA application_id = 77", "PRAGMA journal_mode = WAL", "CREATE TABLE x (a)", "INSERT INTO x VALUES (1)"} {
		if _, err := db.Exec(q); err != nil {
			t.Fatal(err)
		}
	}
	dir := t.TempDir()
	for _, name := range []string{fileName, fileName + "-wal"} {
		text, err := os.ReadFile(filepath.Join(from, name))
		if err != nil || len(text) == 0 {
			t.Fatal(err, len(text))
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	untouched := makeFile(t, dir, nil)
	if e := openFault(t, dir); e.Fault != FaultForeign {
		t.Errorf("fault %q", e.Fault)
	}
	untouched()
	if _, err := os.Stat(filepath.Join(dir, fileName+"-wal")); err != nil {
		t.Errorf("the foreign log is gone: %v", err)
	}
}

func TestNewerFile(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, 3)
	db := raw(t, s)
	if _, err := db.Exec("PRAGMA user_version = 999"); err != nil {
		t.Fatal(err)
	}
	if _, err := db.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	untouched := makeFile(t, dir, nil)
	e := openFault(t, dir)
	if e.Fault != FaultNewer || !strings.Contains(e.Cause, "999") {
		t.Errorf("fault %q: %s", e.Fault, e.Cause)
	}
	untouched()
	var r *OpenError
	if _, err := OpenReadOnly(context.Background(), dir, zerolog.Nop()); !errors.As(err, &r) || r.Fault != FaultNewer {
		t.Errorf("for reading: %v", err)
	}
}

func TestSecondWriter(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, 1)
	e := openFault(t, dir)
	if e.Fault != FaultInUse || e.PID != os.Getpid() {
		t.Errorf("fault %q pid %d", e.Fault, e.PID)
	}
	link := filepath.Join(t.TempDir(), "link")
	if err := os.Symlink(dir, link); err != nil {
		t.Fatal(err)
	}
	if e := openFault(t, link); e.Fault != FaultInUse {
		t.Errorf("through a link: fault %q", e.Fault)
	}
	r, err := OpenReadOnly(context.Background(), dir, zerolog.Nop())
	if err != nil {
		t.Fatalf("a reader beside the writer: %v", err)
	}
	defer r.Close()
	add(t, s, 1)
	if h, err := r.ReadHead(context.Background()); err != nil || h.Seq != 2 {
		t.Errorf("reader sees %d, %v", h.Seq, err)
	}
	s.Close()
	open(t, dir)
}

func TestFolderThatCannotBe(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, dir := range []string{file, "/proc/springline", filepath.Join(file, "below")} {
		if e := openFault(t, dir); e.Fault != FaultFolder {
			t.Errorf("%s: fault %q", dir, e.Fault)
		}
	}
	if _, err := OpenReadOnly(context.Background(), t.TempDir(), zerolog.Nop()); err == nil {
		t.Error("an empty folder was opened for reading")
	}
}

func TestOddFolderNames(t *testing.T) {
	for _, name := range []string{"with space", "a?mode=memory", "50%25", "hash#tag", "ümlaut"} {
		dir := filepath.Join(t.TempDir(), name)
		s := open(t, dir)
		add(t, s, 1)
		if _, err := os.Stat(filepath.Join(dir, fileName)); err != nil {
			t.Errorf("%q: the file is elsewhere: %v", name, err)
		}
		s.Close()
	}
}

func TestDamagedFileIsRefusedOrNamed(t *testing.T) {
	dir := t.TempDir()
	s := open(t, dir)
	add(t, s, 400)
	db := raw(t, s)
	if _, err := db.Exec("PRAGMA wal_checkpoint(TRUNCATE)"); err != nil {
		t.Fatal(err)
	}
	db.Close()
	path := filepath.Join(dir, fileName)
	good, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for page := 1; page*4096 < len(good); page++ {
		bad := bytes.Clone(good)
		for i := range 64 {
			bad[page*4096+i] ^= 0x5a // the page header
		}
		if err := os.WriteFile(path, bad, 0o600); err != nil {
			t.Fatal(err)
		}
		s, err := Open(context.Background(), dir, zerolog.Nop())
		if err != nil {
			var e *OpenError
			if !errors.As(err, &e) {
				t.Fatalf("page %d: %v", page, err)
			}
			found++
			continue
		}
		_, err = s.Verify(context.Background())
		if err != nil {
			found++
		}
		s.Close()
	}
	// Every page but free ones is found out.
	if pages := len(good)/4096 - 1; found < pages {
		t.Errorf("damage found in %d of %d pages", found, pages)
	}
}
