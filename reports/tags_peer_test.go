//go:build full

package reports_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/boombuler/barcode/qr"

	"springline/reports"
	"springline/reports/typeset"
)

// A tag of the small size as a 203 dpi thermal printer puts it down, 1 bit: every module of its code has
// the colour that the encoder gives it, the code is 15 mm or more, and id and verdict can be read.
func TestTagSurvivesAThermalPrinter(t *testing.T) {
	b := shelter(t)
	b.Ribs = b.Ribs[6:8]
	for _, size := range []typeset.Paper{typeset.SmallTag, typeset.LargeTag} {
		t.Run(size.Name, func(t *testing.T) {
			var pdf bytes.Buffer
			if err := reports.WriteTags(&pdf, b, "springline", size, size); err != nil {
				t.Fatal(err)
			}
			dir := t.TempDir()
			path := filepath.Join(dir, "tags.pdf")
			if err := os.WriteFile(path, pdf.Bytes(), 0o666); err != nil {
				t.Fatal(err)
			}
			pages := pdfPages(t, path)
			if len(pages) != 2 {
				t.Fatalf("%d tags for 2 ribs", len(pages))
			}
			for i, want := range []string{"R07 RE-BEND WB-07 · L1", "R08 PASS WB-07 · L1"} {
				if got := strings.Join(strings.Fields(pages[i]), " "); got != want {
					t.Errorf("tag %d says %q, want %q", i+1, got, want)
				}
			}
			poppler(t, "pdftoppm", "-mono", "-r", "203", "-f", "1", "-l", "1", path, filepath.Join(dir, "tag"))
			files, err := filepath.Glob(filepath.Join(dir, "tag*.pbm"))
			if err != nil || len(files) != 1 {
				t.Fatalf("pictures %v: %v", files, err)
			}
			raw, err := os.ReadFile(files[0])
			if err != nil {
				t.Fatal(err)
			}
			checkModules(t, readPBM(t, raw), size, "R07")
		})
	}
}

func checkModules(t *testing.T, pic bitmap, size typeset.Paper, id string) {
	t.Helper()
	code, err := qr.Encode(id, qr.M, qr.AlphaNumeric)
	if err != nil {
		t.Fatal(err)
	}
	n := code.Bounds().Dx()
	side := min(size.H-3, size.W*.42)
	module := side / float64(n+8)
	if width := float64(n) * module; width < 15 {
		t.Errorf("the code is %.1f mm wide", width)
	}
	const dots = 203 / 25.4
	for y := -3; y < n+3; y++ {
		for x := -3; x < n+3; x++ {
			want := false
			if x >= 0 && y >= 0 && x < n && y < n {
				r, _, _, _ := code.At(x, y).RGBA()
				want = r == 0
			}
			px := int((size.W - 1.5 - side + (float64(x+4)+.5)*module) * dots)
			py := int(((size.H-side)/2 + (float64(y+4)+.5)*module) * dots)
			if got := pic.bits[py*((pic.w+7)/8)+px/8]>>(7-px%8)&1 == 1; got != want {
				t.Fatalf("module %d,%d is printed %v", x, y, got)
			}
		}
	}
}

// Ids of any length stay on their tag.
func TestLongIdsStayOnTheTag(t *testing.T) {
	b := shelter(t)
	b.Ribs = b.Ribs[:2]
	b.Ribs[0].ID, b.Ribs[1].ID = strings.Repeat("W", 120), strings.TrimSpace(strings.Repeat("north 12 ", 13))
	for _, size := range []typeset.Paper{typeset.SmallTag, typeset.LargeTag} {
		var pdf bytes.Buffer
		if err := reports.WriteTags(&pdf, b, "springline", size, size); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join(t.TempDir(), "tags.pdf")
		if err := os.WriteFile(path, pdf.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		text := squeezed(strings.Join(pdfPages(t, path), ""))
		for _, r := range b.Ribs {
			if !strings.Contains(text, squeezed(r.ID)) {
				t.Errorf("%s: the id %q is not whole", size.Name, r.ID)
			}
		}
		for _, w := range wordBox.FindAllStringSubmatch(string(poppler(t, "pdftotext", "-bbox", path, "-")), -1) {
			if x0, x1 := number(t, w[1]), number(t, w[3]); x0 < 0 || x1 > size.W*72/25.4 {
				t.Errorf("%s: %s", size.Name, w[0])
			}
		}
	}
}
