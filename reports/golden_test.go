package reports_test

import (
	"bytes"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"springline/reports"
)

var update = flag.Bool("update", false, "rewrite the golden files of this package")

// writers are all forms of a report by the ending of their file.
var writers = map[string]func(io.Writer, reports.Model) error{
	"html": reports.WriteHTML,
	"txt":  reports.WriteText,
	"json": reports.WriteJSON,
	"csv":  reports.WriteCSV,
	"csv-metadata.json": func(w io.Writer, m reports.Model) error {
		return reports.WriteCSVW(w, m, "shelter.csv")
	},
	"values.csv": reports.WriteReadingsCSV,
	"values.csv-metadata.json": func(w io.Writer, m reports.Model) error {
		return reports.WriteReadingsCSVW(w, m, "shelter.values.csv")
	},
}

func TestGoldenReports(t *testing.T) {
	m, err := reports.NewWith(shelter(t), reports.Options{Software: "springline test"})
	if err != nil {
		t.Fatal(err)
	}
	for ending, write := range writers {
		t.Run(ending, func(t *testing.T) {
			var got bytes.Buffer
			if err := write(&got, m); err != nil {
				t.Fatal(err)
			}
			golden(t, "shelter."+ending, got.Bytes())
		})
	}
	form, err := reports.NewForm(shelter(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Run("form.html", func(t *testing.T) {
		var got bytes.Buffer
		if err := reports.WriteHTML(&got, form); err != nil {
			t.Fatal(err)
		}
		golden(t, "form.html", got.Bytes())
	})
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

// TestPaperFormsCanBeWritten writes the paper forms to look at where REPORTS_DUMP names a folder; it also holds that both
// can be written at all.
func TestPaperFormsCanBeWritten(t *testing.T) {
	dir := os.Getenv("REPORTS_DUMP")
	if dir == "" {
		dir = t.TempDir()
	}
	full, err := reports.NewWith(shelter(t), reports.Options{Software: "springline test"})
	if err != nil {
		t.Fatal(err)
	}
	form, err := reports.NewForm(shelter(t))
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]reports.Model{"report": full, "form": form} {
		for _, paper := range []reports.Paper{reports.A4, reports.Letter} {
			var b bytes.Buffer
			if err := reports.WritePDFOn(&b, m, paper); err != nil {
				t.Fatal(err)
			}
			if !bytes.HasPrefix(b.Bytes(), []byte("%PDF-")) || b.Len() < 20_000 {
				t.Errorf("%s on %s: %d bytes that begin with %q", name, paper.Name, b.Len(), b.Bytes()[:8])
			}
			if err := os.WriteFile(filepath.Join(dir, name+"-"+paper.Name+".pdf"), b.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		var b bytes.Buffer
		for _, size := range []reports.TagSize{reports.SmallTag, reports.LargeTag} {
			b.Reset()
			if err := reports.WriteTagSheets(&b, m, size, reports.A4); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(filepath.Join(dir, name+"-tags-"+size.Name+".pdf"), b.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		b.Reset()
		if err := reports.WriteHTML(&b, m); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+".html"), b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
