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
	picture := func(name string, d draw.Drawing, err error) {
		note(name, func(b *bytes.Buffer) error { b.Write(d.SVGFile()); return err })
	}
	b := studied(t)
	for i := range b.Ribs {
		b.Ribs[i].FirstJig = b.Ribs[i].Jig
	}
	o := reports.Options{Software: "springline test"}
	whole, err := reports.NewWith(b, o)
	if err != nil {
		t.Fatal(err)
	}
	alone, err := reports.NewStudy(b, "", o)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range []struct {
		name string
		m    reports.Model
	}{{"report", whole}, {"study", alone}, {"form", form(t, b)}} {
		for _, p := range []reports.Paper{reports.A4, reports.Letter} {
			note(r.name+"-"+p.Name+".pdf", func(b *bytes.Buffer) error { return reports.WritePDFOn(b, r.m, p) })
		}
		note(r.name+".txt", func(b *bytes.Buffer) error { return reports.WriteText(b, r.m) })
		note(r.name+".json", func(b *bytes.Buffer) error { return reports.WriteJSON(b, r.m) })
	}
	for _, size := range []reports.TagSize{reports.SmallTag, reports.LargeTag} {
		note("tags "+size.Name+".pdf", func(b *bytes.Buffer) error { return reports.WriteTags(b, whole, size) })
		note("tag sheets "+size.Name+".pdf", func(b *bytes.Buffer) error { return reports.WriteTagSheets(b, whole, size, reports.A4) })
	}
	for _, name := range sortedKeys(jigCases) {
		for _, feet := range []bool{false, true} {
			s := jigSheet(t, jigCases[name], feet)
			note(fmt.Sprintf("jig %s, feet %v.pdf", name, feet), func(b *bytes.Buffer) error { return reports.WriteJigPDF(b, s) })
			note(fmt.Sprintf("jig %s, feet %v.svg", name, feet), func(b *bytes.Buffer) error { return reports.WriteJigSVG(b, s) })
		}
	}
	for _, p := range []struct{ flip, turned bool }{{false, false}, {true, false}, {true, true}} {
		d, err := reports.PairDrawing(b, "R01", "R02", p.flip, p.turned)
		picture(fmt.Sprintf("pair %v %v.svg", p.flip, p.turned), d, err)
	}
	for _, rib := range []string{"R07", "R13", "R20"} {
		d, err := reports.ShapeDrawing(b, rib)
		picture("shape "+rib+".svg", d, err)
	}
	for _, c := range []qc.CharID{qc.Tip, qc.Crown} {
		d, err := reports.DriftDrawing(moved(t), c)
		picture(fmt.Sprintf("drift of %s.svg", c), d, err)
		d, err = reports.BudgetDrawing(b, c, "R03")
		picture(fmt.Sprintf("doubt of %s.svg", c), d, err)
	}
	d, err := reports.StudyDrawing(b, "study-1")
	picture("study.svg", d, err)
	spring, ok := reports.SpringDrawing(b, 150)
	if !ok {
		t.Error("no spring constants are drawn")
	}
	picture("spring.svg", spring, nil)
	if n := strings.Count(out.String(), "\n"); n < 50 {
		t.Errorf("only %d forms", n)
	}
	golden(t, "sums.txt", out.Bytes())
}
