package reports_test

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"strings"
	"testing"

	"springline/qc"
	"springline/reports"
	"springline/reports/draw"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// The forms that no text golden can hold, paper and drawings, by the digest of their bytes. A digest that
// changes says that something is set otherwise: look at the file itself (REPORTS_DUMP), then rebuild with -update.
func TestPaperAndDrawingsKeepTheirBytes(t *testing.T) {
	var out bytes.Buffer
	note := func(name string, write func(*bytes.Buffer) error) {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		fmt.Fprintf(&out, "%x %s\n", sha256.Sum256(b.Bytes()), name)
	}
	drawn := func(name string, d draw.Drawing, err error) {
		note(name, func(b *bytes.Buffer) error { b.Write(d.SVGFile()); return err })
	}
	b := studied(t)
	for i := range b.Ribs {
		b.Ribs[i].FirstJig = b.Ribs[i].Jig
	}
	whole, err := reports.New(b, "springline test")
	if err != nil {
		t.Fatal(err)
	}
	alone, err := reports.NewStudy(b, "", "springline test")
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []typeset.Paper{typeset.A4, typeset.Letter} {
		for _, r := range []struct {
			name string
			s    typeset.Sheet
		}{{"report", whole.Sheet}, {"study", alone.Sheet}, {"form", blank(t, b)}} {
			note(r.name+"-"+p.Name+".pdf", func(b *bytes.Buffer) error { return reports.WriteSheet(b, r.s, "pdf", p) })
			if p == typeset.A4 {
				note(r.name+".txt", func(b *bytes.Buffer) error { return reports.WriteSheet(b, r.s, "txt", p) })
			}
		}
	}
	note("report.json", func(b *bytes.Buffer) error { return reports.Write(b, whole, "json", typeset.A4) })
	note("study.json", func(b *bytes.Buffer) error { return reports.Write(b, alone, "json", typeset.A4) })
	for _, size := range []typeset.Paper{typeset.SmallTag, typeset.LargeTag} {
		for _, on := range []typeset.Paper{size, typeset.A4} {
			note(fmt.Sprintf("tags %s on %s.pdf", size.Name, on.Name), func(to *bytes.Buffer) error {
				return reports.WriteTags(to, b, "springline test", size, on)
			})
		}
	}
	for _, p := range []struct{ flip, turned bool }{{false, false}, {true, false}, {true, true}} {
		d, err := picture.Pair(b, "R01", "R02", p.flip, p.turned)
		drawn(fmt.Sprintf("pair %v %v.svg", p.flip, p.turned), d, err)
	}
	for _, rib := range []string{"R07", "R13", "R20"} {
		d, err := picture.Shape(b, rib)
		drawn("shape "+rib+".svg", d, err)
	}
	for _, c := range []qc.CharID{qc.Tip, qc.Crown} {
		d, err := picture.DriftOf(moved(t), c)
		drawn(fmt.Sprintf("drift of %s.svg", c), d, err)
		d, err = picture.BudgetOf(b, c, "R03")
		drawn(fmt.Sprintf("doubt of %s.svg", c), d, err)
	}
	d, err := picture.StudyOf(b, "study-1")
	drawn("study.svg", d, err)
	spring, ok := picture.Spring(b, 150)
	if !ok {
		t.Error("no spring constants are drawn")
	}
	drawn("spring.svg", spring, nil)
	if n := strings.Count(out.String(), "\n"); n < 20 {
		t.Errorf("only %d forms", n)
	}
	golden(t, "sums.txt", out.Bytes())
}
