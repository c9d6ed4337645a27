//go:build full

package reports_test

// These tests read our PDFs with Debian's poppler-utils, which shares no code with the writer. They fail
// where poppler is missing: apt-get install poppler-utils.

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"

	"springline/qc"
	"springline/reports"
	"springline/reports/typeset"
)

func writePDF(t *testing.T, m typeset.Sheet, p typeset.Paper) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.pdf")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := typeset.WritePDF(f, m, p); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

func poppler(t *testing.T, tool string, args ...string) []byte {
	t.Helper()
	var out, stderr bytes.Buffer
	cmd := exec.Command(tool, args...)
	cmd.Stdout, cmd.Stderr = &out, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %v: %v %s (Debian package poppler-utils)", tool, args, err, &stderr)
	}
	if stderr.Len() > 0 {
		t.Errorf("%s complains: %s", tool, &stderr)
	}
	return out.Bytes()
}

// pdfPages returns the text of each page in the order written.
func pdfPages(t *testing.T, path string) []string {
	t.Helper()
	pages := strings.Split(string(poppler(t, "pdftotext", "-raw", "-enc", "UTF-8", path, "-")), "\f")
	return pages[:len(pages)-1]
}

// htmlWords returns the words of the page's visible text, head and foot lines apart.
func htmlWords(t *testing.T, m typeset.Sheet) []string {
	t.Helper()
	var b bytes.Buffer
	if err := typeset.WriteHTML(&b, m); err != nil {
		t.Fatal(err)
	}
	d := xml.NewDecoder(&b)
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var words []string
	for mute := 0; ; {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("the page does not nest: %v", err)
		}
		silent := func(name string) bool {
			switch name {
			case "head", "desc", "title", "header", "footer":
				return true
			}
			return false
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			if mute > 0 || silent(tok.Name.Local) {
				mute++
			}
		case xml.EndElement:
			if mute > 0 {
				mute--
			}
		case xml.CharData:
			if mute == 0 {
				words = append(words, strings.Fields(string(tok))...)
			}
		}
	}
	return words
}

func count(words []string) map[string]int {
	n := map[string]int{}
	for _, w := range words {
		n[w]++
	}
	return n
}

var pageOf = regexp.MustCompile(`page (\d+) of (\d+)`)

// bodyWords takes the head and foot lines off every page and returns what is left.
func bodyWords(t *testing.T, m typeset.Sheet, pages []string) []string {
	t.Helper()
	var words []string
	for i, p := range pages {
		for _, line := range append(append([]string{fmt.Sprintf("page %d of %d", i+1, len(pages))}, m.Running...), m.Foot...) {
			before := p
			if p = strings.Replace(p, line, " ", 1); p == before {
				t.Errorf("page %d lacks its line %q", i+1, line)
			}
		}
		words = append(words, strings.Fields(p)...)
	}
	return words
}

// headWords are the words of all table heads, which may stand on several pages.
func headWords(m typeset.Sheet) map[string]bool {
	words := map[string]bool{}
	for _, s := range m.Sections {
		for _, b := range s.Blocks {
			if b.Table != nil {
				for _, c := range b.Table.Columns {
					for _, w := range strings.Fields(c.Head + " " + c.Unit) {
						words[w] = true
					}
				}
			}
		}
	}
	return words
}

func TestPaperAndPageSayTheSame(t *testing.T) {
	full, err := reports.New(shelter(t), "springline")
	if err != nil {
		t.Fatal(err)
	}
	form, err := reports.NewBlank(shelter(t), "springline")
	if err != nil {
		t.Fatal(err)
	}
	for name, m := range map[string]typeset.Sheet{"report": full.Sheet, "form": form} {
		for _, paper := range []typeset.Paper{typeset.A4, typeset.Letter} {
			t.Run(name+" "+paper.Name, func(t *testing.T) {
				got := count(bodyWords(t, m, pdfPages(t, writePDF(t, m, paper))))
				want := count(numbered(m, htmlWords(t, m)))
				repeats := headWords(m)
				for w, n := range want {
					if got[w] < n {
						t.Errorf("the PDF has %q %d times, the page %d times", w, got[w], n)
					}
				}
				for w, n := range got {
					if n > want[w] && !repeats[w] {
						t.Errorf("the PDF has %q %d times, the page %d times", w, n, want[w])
					}
				}
				if len(want) < 150 {
					t.Errorf("only %d different words found in the page: the test reads too little", len(want))
				}
			})
		}
	}
}

// numbered adds the list numbers, which a browser draws and the page's text does not hold.
func numbered(m typeset.Sheet, words []string) []string {
	for _, s := range m.Sections {
		for _, b := range s.Blocks {
			for i := range b.List {
				words = append(words, strconv.Itoa(i+1)+".")
			}
		}
	}
	return words
}

func TestPageNumbersAreRightFromOneToSixPages(t *testing.T) {
	seen := map[int]bool{}
	for _, ribs := range []int{0, 6, 25} {
		b := shelter(t)
		b.Ribs = b.Ribs[:ribs]
		m, err := reports.New(b, "springline")
		if err != nil {
			t.Fatal(err)
		}
		checkPageNumbers(t, m.Sheet, seen)
	}
	m := typeset.Sheet{ID: "one", Title: "One page", Running: []string{"head"}, Foot: []string{"foot"}}
	for n := 1; n <= 5; n++ {
		m.Sections = nil
		for i := range n {
			m.Sections = append(m.Sections, typeset.Section{Key: strconv.Itoa(i), Title: "Part", NewPage: i > 0,
				Blocks: []typeset.Block{{Text: "text"}}})
		}
		if got := checkPageNumbers(t, m, seen); got != n {
			t.Errorf("%d parts with a page each are on %d pages", n, got)
		}
	}
	for n := 1; n <= 6; n++ {
		if !seen[n] {
			t.Errorf("no report of %d pages was looked at", n)
		}
	}
}

func checkPageNumbers(t *testing.T, m typeset.Sheet, seen map[int]bool) int {
	t.Helper()
	pages := pdfPages(t, writePDF(t, m, typeset.A4))
	for i, p := range pages {
		all := pageOf.FindAllStringSubmatch(p, -1)
		if len(all) != 1 || all[0][1] != strconv.Itoa(i+1) || all[0][2] != strconv.Itoa(len(pages)) {
			t.Errorf("sheet %d of %d is numbered %v", i+1, len(pages), all)
		}
	}
	seen[len(pages)] = true
	return len(pages)
}

var wordBox = regexp.MustCompile(`<word xMin="([-0-9.]+)" yMin="([-0-9.]+)" xMax="([-0-9.]+)" yMax="([-0-9.]+)">`)

// Names as long as names may be: nothing leaves the sheet's text block and nothing is lost.
func TestLongNamesAreNotClipped(t *testing.T) {
	t.Parallel()
	spaced := strings.TrimSpace(strings.Repeat("Wetlands ", 14))[:120]
	solid := strings.Repeat("W", 119) + "x"
	for name, long := range map[string]string{"spaced": spaced, "solid": solid} {
		b := shelter(t)
		b.Title, b.Place, b.Maker, b.ID = long, long, long, long
		b.Target.Name, b.Gauges[0].Name, b.Gauges[0].CheckNote = long, long, long
		b.Lots[0].ID, b.Lots[0].Heat = long, long
		for i := range b.Ribs {
			if b.Ribs[i].Lot == "L1" {
				b.Ribs[i].Lot = long
			}
			if i%7 == 3 {
				b.Ribs[i].ID = long[:118] + fmt.Sprintf("%02d", i)
			}
		}
		b.Pairs[0].A, b.Pairs[0].ConfirmedBy = long, long
		b.Spares = []string{long}
		b.Record.Bench = long
		m, err := reports.New(b, "springline")
		if err != nil {
			t.Fatal(err)
		}
		for _, paper := range []typeset.Paper{typeset.A4, typeset.Letter} {
			t.Run(name+" "+paper.Name, func(t *testing.T) {
				path := writePDF(t, m.Sheet, paper)
				left, top := (paper.W-190)/2*72/25.4, (paper.H-259)/2*72/25.4
				boxes := wordBox.FindAllStringSubmatch(string(poppler(t, "pdftotext", "-bbox", path, "-")), -1)
				if len(boxes) < 1000 {
					t.Fatalf("only %d words found", len(boxes))
				}
				for _, w := range boxes {
					x0, y0, x1, y1 := number(t, w[1]), number(t, w[2]), number(t, w[3]), number(t, w[4])
					if x0 < left-.5 || x1 > left+190*72/25.4+.5 || y0 < top-1 || y1 > top+259*72/25.4+1 {
						t.Errorf("a word lies outside the text block of %s: %v", paper.Name, w[0])
					}
				}
				text := squeezed(strings.Join(pdfPages(t, path), ""))
				for _, want := range []string{b.Title, b.Place, b.Ribs[3].ID, b.Ribs[10].ID, b.Gauges[0].CheckNote} {
					if !strings.Contains(text, squeezed(want)) {
						t.Errorf("%q is not whole in the PDF", want)
					}
				}
			})
		}
	}
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), "") }

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// Names that break careless writers: brackets and backslashes of PDF strings, markup, formulas, other
// scripts, characters the face does not have.
func TestUnusualNamesReachEveryForm(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, paper string }{
		{`=HYPERLINK("x")`, `=HYPERLINK("x")`},
		{`a)b(c\d\(e`, `a)b(c\d\(e`},
		{`<script>alert(1)</script>`, `<script>alert(1)</script>`},
		{`O'Brien & "Söhne" ½`, `O'Brien & "Söhne" ½`},
		{`Ребро Ώμέγα`, `Ребро Ώμέγα`},
		{`rib 😀`, `rib {U+1F600}`},
		{`骨 7`, `{U+9AA8} 7`},
		{`צלע שבע`, `צלע שבע`},
		{"a\u202eb", "ab"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := shelter(t)
			b.Ribs[6].ID = c.name
			m, err := reports.New(b, "springline")
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Join(pdfPages(t, writePDF(t, m.Sheet, typeset.A4)), " ")
			if !strings.Contains(bare(text), bare(c.paper)) {
				t.Errorf("the PDF does not say %q", c.paper)
			}
			if !strings.Contains(strings.Join(htmlWords(t, m.Sheet), " "), strings.Join(strings.Fields(c.name), " ")) {
				t.Errorf("the page does not say %q", c.name)
			}
			var page bytes.Buffer
			if err := typeset.WriteHTML(&page, m.Sheet); err != nil {
				t.Fatal(err)
			}
			if strings.Contains(page.String(), "<script") {
				t.Error("the page holds a script")
			}
		})
	}
}

// bare drops spaces and the marks by which poppler shows the direction of a word.
func bare(s string) string {
	return strings.Map(func(r rune) rune {
		if r == 0x202A || r == 0x202B || r == 0x202C || r == 0x200E || r == 0x200F {
			return -1
		}
		return r
	}, squeezed(s))
}

// A fax copy: 1 bit, 200 dpi. The words are text; the shapes must still differ, so the picture of each
// verdict's row is held against the others where the shape stands.
func TestOneBitCopyStillTellsTheVerdicts(t *testing.T) {
	m, err := reports.New(shelter(t), "springline")
	if err != nil {
		t.Fatal(err)
	}
	path := writePDF(t, m.Sheet, typeset.A4)
	text := strings.Join(pdfPages(t, path), " ")
	for _, r := range m.Document.Ribs {
		if r.Verdict != string(qc.Pass) && !regexp.MustCompile(`\b`+r.ID+`\b\s+\S+\s+`+r.Verdict).MatchString(text) {
			t.Errorf("rib %s does not stand beside %s", r.ID, r.Verdict)
		}
	}
	prefix := filepath.Join(t.TempDir(), "fax")
	poppler(t, "pdftoppm", "-mono", "-r", "200", "-f", "1", "-l", "1", path, prefix)
	files, err := filepath.Glob(prefix + "*")
	if err != nil || len(files) != 1 {
		t.Fatalf("pictures %v: %v", files, err)
	}
	raw, err := os.ReadFile(files[0])
	if err != nil {
		t.Fatal(err)
	}
	pic := readPBM(t, raw)
	signs := map[string][]bool{}
	for _, word := range qc.Words() {
		x, y := wordAt(t, path, string(word))
		signs[string(word)] = pic.box(x-6.2, y-.6, 5, 5)
	}
	var names []string
	for n, s := range signs {
		names = append(names, n)
		dark := 0
		for _, b := range s {
			if b {
				dark++
			}
		}
		if share := float64(dark) / float64(len(s)); share < .08 || share > .75 {
			t.Errorf("the shape of %s is %.0f %% ink", n, 100*share)
		}
	}
	sort.Strings(names)
	for i, a := range names {
		for _, b := range names[i+1:] {
			differ := 0
			for k := range signs[a] {
				if signs[a][k] != signs[b][k] {
					differ++
				}
			}
			if share := float64(differ) / float64(len(signs[a])); share < .15 {
				t.Errorf("the shapes of %s and %s differ in only %.0f %% of their dots", a, b, 100*share)
			}
		}
	}
}

// wordAt is the upper left corner in millimetres of the first time a word stands on page 1.
func wordAt(t *testing.T, path, word string) (x, y float64) {
	t.Helper()
	out := string(poppler(t, "pdftotext", "-bbox", "-f", "1", "-l", "1", path, "-"))
	// The first mention may be in the sentence above the table, so the last one is taken.
	at := strings.LastIndex(out, ">"+word+"</word>")
	if at < 0 {
		t.Fatalf("%s is not on page 1", word)
	}
	all := wordBox.FindAllStringSubmatch(out[:at+1], -1)
	w := all[len(all)-1]
	return number(t, w[1]) * 25.4 / 72, number(t, w[2]) * 25.4 / 72
}

type bitmap struct {
	w, h int
	bits []byte
}

func readPBM(t *testing.T, raw []byte) bitmap {
	t.Helper()
	var b bitmap
	var rest int
	if _, err := fmt.Sscanf(string(raw[:min(40, len(raw))]), "P4\n%d %d\n", &b.w, &b.h); err != nil {
		t.Fatal(err)
	}
	rest = len(raw) - (b.w+7)/8*b.h
	b.bits = raw[rest:]
	return b
}

// box returns the dots of a rectangle given in millimetres, at 200 dpi.
func (b bitmap) box(x, y, w, h float64) []bool {
	const dots = 200 / 25.4
	var out []bool
	for r := int(y * dots); r < int(y*dots)+int(h*dots); r++ {
		for c := int(x * dots); c < int(x*dots)+int(w*dots); c++ {
			out = append(out, b.bits[r*((b.w+7)/8)+c/8]>>(7-c%8)&1 == 1)
		}
	}
	return out
}
