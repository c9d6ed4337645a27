package reports_test

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"springline/reports"
	"springline/reports/typeset"
)

var update = flag.Bool("update", false, "rewrite the golden files of this package")

func write(m reports.Model, form string) func(io.Writer) error {
	return func(w io.Writer) error { return reports.Write(w, m, form, typeset.A4) }
}

func TestGoldenReports(t *testing.T) {
	m, err := reports.New(shelter(t), "springline test")
	if err != nil {
		t.Fatal(err)
	}
	for _, form := range reports.Forms() {
		if form == "pdf" {
			continue // held by its digest
		}
		t.Run(form, func(t *testing.T) { golden(t, "shelter."+form, written(t, write(m, form))) })
	}
	t.Run("form.html", func(t *testing.T) {
		golden(t, "form.html", written(t, func(w io.Writer) error { return reports.WriteSheet(w, blank(t, shelter(t)), "html", typeset.A4) }))
	})
}

// written is what is written.
func written(t *testing.T, write func(io.Writer) error) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// golden compares with a file under testdata/golden/reports of the module.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("..", "testdata", "golden", "reports", name)
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs from its golden file (%d bytes, want %d): look at both, then rebuild with -update", name, len(got), len(want))
	}
}

// TestPaperFormsCanBeWritten writes the paper forms to look at where REPORTS_DUMP names a folder; it also holds that all
// can be written.
func TestPaperFormsCanBeWritten(t *testing.T) {
	dir := os.Getenv("REPORTS_DUMP")
	if dir == "" {
		dir = t.TempDir()
	}
	dump := func(name string, b []byte) {
		if err := os.WriteFile(filepath.Join(dir, name), b, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	full, err := reports.New(shelter(t), "springline test")
	if err != nil {
		t.Fatal(err)
	}
	for name, s := range map[string]typeset.Sheet{"report": full.Sheet, "form": blank(t, shelter(t))} {
		for _, paper := range []typeset.Paper{typeset.A4, typeset.Letter} {
			b := written(t, func(w io.Writer) error { return reports.WriteSheet(w, s, "pdf", paper) })
			if !bytes.HasPrefix(b, []byte("%PDF-")) || len(b) < 20_000 {
				t.Errorf("%s on %s: %d bytes that begin with %q", name, paper.Name, len(b), b[:8])
			}
			dump(name+"-"+paper.Name+".pdf", b)
		}
		dump(name+".html", written(t, func(w io.Writer) error { return reports.WriteSheet(w, s, "html", typeset.A4) }))
	}
	for _, size := range []typeset.Paper{typeset.SmallTag, typeset.LargeTag} {
		dump("tags-"+size.Name+".pdf", written(t, func(w io.Writer) error {
			return reports.WriteTags(w, shelter(t), "springline test", size, typeset.A4)
		}))
	}
}
