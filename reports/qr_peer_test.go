//go:build full

package reports_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"springline/reports"
	"springline/reports/typeset"
)

// noCode is how zbarimg ends where a picture holds no code.
const noCode = 4

// zbar reads the codes of printed pages with Debian's zbarimg, which shares no code with the encoder.
func zbar(t *testing.T, pictures ...string) []string {
	t.Helper()
	var out, stderr bytes.Buffer
	cmd := exec.Command("zbarimg", append([]string{"--quiet", "--nodbus", "--raw", "-Sdisable", "-Sqrcode.enable"}, pictures...)...)
	cmd.Stdout, cmd.Stderr = &out, &stderr
	err := cmd.Run()
	var exit *exec.ExitError
	if errors.As(err, &exit) && exit.ExitCode() == noCode {
		err = nil // on some of the pictures
	}
	if err != nil {
		t.Fatalf("zbarimg %v: %v %s (Debian package zbar-tools)", pictures, err, &stderr)
	}
	return strings.Split(strings.TrimSuffix(out.String(), "\n"), "\n")
}

// The report's code, printed and looked at with a phone's camera, gives the numbers that stand beside it.
func TestReportCodeReadsAsPrinted(t *testing.T) {
	t.Parallel()
	b := shelter(t)
	path := writePDF(t, build(t, b).Sheet, typeset.A4)
	dir := t.TempDir()
	poppler(t, "pdftoppm", "-r", "150", "-gray", "-png", path, filepath.Join(dir, "page"))
	pages, err := filepath.Glob(filepath.Join(dir, "page*.png"))
	if err != nil || len(pages) == 0 {
		t.Fatalf("pictures %v: %v", pages, err)
	}
	r := b.Record
	want := strings.ToUpper(fmt.Sprintf("springline:1 epoch:%d records:%d-%d head:%s", r.Epoch, r.First, r.Last, r.Head))
	if got := zbar(t, pages...); len(got) != 1 || got[0] != want {
		t.Errorf("the report's codes read %q, want %q", got, want)
	}
}

// A tag as a thermal printer puts it down gives the rib's id.
func TestTagCodeReadsAsPrinted(t *testing.T) {
	b := shelter(t)
	b.Ribs = b.Ribs[6:8]
	for _, size := range []typeset.Paper{typeset.SmallTag, typeset.LargeTag} {
		var pdf bytes.Buffer
		if err := reports.WriteTags(&pdf, b, "springline", size, size); err != nil {
			t.Fatal(err)
		}
		dir := t.TempDir()
		path := filepath.Join(dir, "tags.pdf")
		if err := os.WriteFile(path, pdf.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		poppler(t, "pdftoppm", "-mono", "-r", "203", path, filepath.Join(dir, "tag"))
		pictures, err := filepath.Glob(filepath.Join(dir, "tag*.pbm"))
		if err != nil || len(pictures) != 2 {
			t.Fatalf("pictures %v: %v", pictures, err)
		}
		if got := strings.Join(zbar(t, pictures...), " "); got != "R07 R08" {
			t.Errorf("%s: the codes read %q, want R07 R08", size.Name, got)
		}
	}
}
