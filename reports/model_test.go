package reports_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"springline/qc"
	"springline/qc/length"
	"springline/reports"
	"springline/reports/typeset"
)

func section(t *testing.T, m typeset.Sheet, key string) typeset.Section {
	t.Helper()
	for _, s := range m.Sections {
		if s.Key == key {
			return s
		}
	}
	t.Fatalf("the report has no section %q", key)
	return typeset.Section{}
}

func tables(s typeset.Section) []*typeset.Table {
	var out []*typeset.Table
	for _, b := range s.Blocks {
		if b.Table != nil {
			out = append(out, b.Table)
		}
	}
	return out
}

func build(t *testing.T, b qc.Batch) reports.Model {
	t.Helper()
	m, err := reports.New(b, "springline")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// everything is all forms of a report as one checksum.
func everything(t *testing.T, b qc.Batch) string {
	t.Helper()
	h := sha256.New()
	for _, p := range []typeset.Paper{typeset.A4, typeset.Letter} {
		for _, form := range reports.Forms() {
			if err := reports.Write(h, build(t, b), form, p); err != nil {
				t.Fatal(err)
			}
		}
		for _, form := range reports.SheetForms() {
			if err := reports.WriteSheet(h, blank(t, b), form, p); err != nil {
				t.Fatal(err)
			}
		}
	}
	return hex.EncodeToString(h.Sum(nil))
}

func blank(t *testing.T, b qc.Batch) typeset.Sheet {
	t.Helper()
	m, err := reports.NewBlank(b, "springline")
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// The same record gives the same bytes: twice in this process and in others, started later and in
// another time zone.
func TestSameRecordSameBytes(t *testing.T) {
	t.Parallel()
	sum := everything(t, shelter(t))
	if os.Getenv("REPORTS_SUM") != "" {
		fmt.Printf("sum=%s\n", sum)
		return
	}
	if again := everything(t, shelter(t)); again != sum {
		t.Error("two runs in one process differ")
	}
	for _, tz := range []string{"UTC", "Pacific/Kiritimati"} {
		cmd := exec.Command(os.Args[0], "-test.run=^TestSameRecordSameBytes$")
		cmd.Env = append(os.Environ(), "REPORTS_SUM=1", "TZ="+tz)
		out, err := cmd.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		if !strings.Contains(string(out), "sum="+sum) {
			t.Errorf("another process with TZ=%s writes other bytes: %s", tz, out)
		}
	}
}

func TestOutOfToleranceFirst(t *testing.T) {
	m := build(t, shelter(t))
	rank := map[string]int{}
	for i, w := range qc.Words() {
		rank[string(w)] = i
	}
	last, order := 0, 0
	seen := map[string]bool{}
	for _, row := range tables(section(t, m.Sheet, "ribs"))[0].Rows {
		word := row.Cells[3].Text
		var n int
		if _, err := fmt.Sscan(row.Cells[0].Text, &n); err != nil {
			t.Fatal(err)
		}
		if rank[word] < last {
			t.Errorf("%s stands below what needs a hand less", word)
		}
		if rank[word] == last && n < order {
			t.Errorf("rib no. %d stands after no. %d though both are %s", n, order, word)
		}
		last, order, seen[word] = rank[word], n, true
		if (word != string(qc.Pass)) != row.Strong {
			t.Errorf("a %s row has strong = %v", word, row.Strong)
		}
	}
	for _, w := range []qc.Word{qc.ReBend, qc.ReMeasure, qc.Open, qc.Pass} {
		if !seen[string(w)] {
			t.Errorf("the batch has no rib that is %s: the test shows too little", w)
		}
	}
}

// Whatever is taken away from a rib, it is not shown as a pass in any form.
func TestIncompleteIsNeverShownAsPass(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		b := shelter(t)
		i := rapid.IntRange(0, 22).Draw(rt, "rib")
		r := &b.Ribs[i]
		ms := append([]qc.Measurement{}, r.Measurements...)
		k := rapid.IntRange(0, len(ms)-1).Draw(rt, "value")
		for ; !ms[k].Counts(); k = (k + 1) % len(ms) {
		}
		switch rapid.IntRange(0, 2).Draw(rt, "how") {
		case 0:
			ms[k].Voided = true
		case 1:
			ms = append(ms[:k], ms[k+1:]...)
		case 2:
			ms = ms[:k]
		}
		r.Measurements = ms
		m, err := reports.New(b, "springline")
		if err != nil {
			rt.Fatal(err)
		}
		for _, d := range m.Document.Ribs {
			if d.ID == r.ID && d.Verdict != string(qc.Open) {
				rt.Errorf("rib %s lacks a value and is shown as %s", d.ID, d.Verdict)
			}
		}
		for _, s := range m.Sections {
			for _, tab := range tables(s) {
				for _, row := range tab.Rows {
					if len(row.Cells) > 3 && row.Cells[1].Text == r.ID && row.Cells[3].Text == string(qc.Pass) {
						rt.Errorf("rib %s lacks a value and stands as a PASS in %q", r.ID, s.Title)
					}
				}
			}
		}
		var text bytes.Buffer
		if err := typeset.WriteText(&text, m.Sheet); err != nil {
			rt.Fatal(err)
		}
		for _, line := range strings.Split(text.String(), "\n") {
			if strings.Contains(line, "PASS") && strings.Contains(line, r.ID) {
				rt.Errorf("line %q", line)
			}
		}
	})
}

func TestEmptyBatch(t *testing.T) {
	b := shelter(t)
	b.Ribs, b.Pairs, b.Spares, b.Counts = nil, nil, nil, qc.Counts{}
	m := build(t, b)
	var text bytes.Buffer
	if err := typeset.WriteText(&text, m.Sheet); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"nothing has passed", "No rib is on record yet", "No pairs have been confirmed"} {
		if !strings.Contains(text.String(), want) {
			t.Errorf("an empty batch does not say %q", want)
		}
	}
	for _, form := range reports.Forms() {
		var out bytes.Buffer
		if err := reports.Write(&out, m, form, typeset.A4); err != nil || out.Len() == 0 {
			t.Errorf("%s of an empty batch: %d bytes, %v", form, out.Len(), err)
		}
	}
	if _, err := reports.New(qc.Batch{ID: "nothing"}, "springline"); err == nil || !strings.Contains(err.Error(), `"nothing"`) {
		t.Errorf("a batch without a target gives %v", err)
	}
	b = shelter(t)
	b.Gauges = b.Gauges[:1]
	if _, err := reports.New(b, "springline"); err == nil || !strings.Contains(err.Error(), `"C1"`) {
		t.Errorf("a measurement with a gauge not on record gives %v", err)
	}
}

// A deviation that is printed never lies on the other side of a limit than the exact one, and an
// uncertainty is never printed smaller than it is.
func TestPrintedNumbersNeverContradict(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		b := shelter(t)
		b.Ribs = b.Ribs[:2]
		c := b.Target.Round[1]
		off := rapid.SampledFrom([]length.Length{0, 1, -1, 40_000, -40_000, 499_999, 500_000, 500_001, -500_000, 1_400_000}).Draw(rt, "off")
		limit := rapid.SampledFrom([]length.Length{c.Lower, c.Upper}).Draw(rt, "limit")
		dev := limit + off
		for k, m := range b.Ribs[0].Measurements {
			if m.Char == c.ID {
				b.Ribs[0].Measurements[k].Value = c.Nominal + dev
			}
		}
		m, err := reports.New(b, "springline")
		if err != nil {
			rt.Fatal(err)
		}
		for _, tab := range tables(section(t, m.Sheet, "ribs")) {
			for _, row := range tab.Rows {
				if row.Cells[1].Text != b.Ribs[0].ID {
					continue
				}
				shown := printed(rt, row.Cells[5].Text)
				if (shown > c.Upper) != (dev > c.Upper) || (shown < c.Lower) != (dev < c.Lower) {
					rt.Errorf("deviation %s is printed as %s against %s..%s", dev, row.Cells[5].Text, c.Lower, c.Upper)
				}
				u := printed(rt, strings.TrimPrefix(row.Cells[5].Second, "±"))
				for _, d := range m.Document.Ribs {
					if d.ID == b.Ribs[0].ID && int64(u) < d.Chars[1].Numbers.ExpandedNM {
						rt.Errorf("uncertainty %d nm is printed as %s", d.Chars[1].Numbers.ExpandedNM, row.Cells[5].Second)
					}
				}
			}
		}
	})
}

func printed(t *rapid.T, s string) length.Length {
	l, err := length.Decimal(strings.NewReplacer("−", "-", "+", "").Replace(s), "mm")
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestEverySectionIsThere(t *testing.T) {
	m := build(t, shelter(t))
	for _, key := range []string{"batch", "result", "target", "gauges", "rule", "ribs", "charts", "shapes", "pairs", "values",
		"cautions", "record", "signatures"} {
		section(t, m.Sheet, key)
	}
	var b bytes.Buffer
	if err := typeset.WriteText(&b, m.Sheet); err != nil {
		t.Fatal(err)
	}
	text := strings.Join(strings.Fields(b.String()), " ")
	for _, want := range []string{
		"Wren Okafor-Lind", "Ibis Fen reserve", "UTC+10:00", "outside of the bar", "check overdue", "Proven at 95 %", "1.645 u", "inclusive",
		"caliper jaw on the tie wire", "paint still wet", "turned end for end", "relates only to the ribs listed", "whip", "cross",
		"sharp", "gloves",
		"Bend cold only", "nothing on strength", "licensed engineer", "not a certificate", "4be01c9f7a63d258", "Taken again 1", "Voided 1",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	b.Reset()
	batch := shelter(t)
	batch.Decision.Rule = qc.Plain
	if err := typeset.WriteText(&b, build(t, batch).Sheet); err != nil {
		t.Fatal(err)
	}
	if s := b.String(); !strings.Contains(s, "Plain acceptance") || strings.Contains(s, "Proven at") {
		t.Error("a batch judged by the plain rule does not say so")
	}
}

// The maker's part of the form is the same sheet: same target, same characteristics in the same order,
// a line for every rib planned, nothing measured.
func TestFormIsTheSameSheetEmpty(t *testing.T) {
	b := shelter(t)
	m := blank(t, b)
	rows := 0
	for _, tab := range tables(section(t, m, "ribs")) {
		if !tab.Blank {
			t.Error("the table is not one to write on")
		}
		rows = len(tab.Rows)
		for _, row := range tab.Rows {
			for _, c := range row.Cells[1:] {
				if c.Text != "" {
					t.Errorf("the form says %q", c.Text)
				}
			}
		}
	}
	if rows != b.Planned {
		t.Errorf("%d lines for %d ribs", rows, b.Planned)
	}
}

// A report prints the zone of its times and knows no other time than the batch's.
func TestTimesCarryTheirZone(t *testing.T) {
	b := shelter(t)
	b.AsOf = time.Date(2026, 7, 1, 12, 0, 0, 0, time.FixedZone("", -(9*3600+1800)))
	m := build(t, b)
	if got := m.Running[1]; !strings.Contains(got, "2026-07-01 12:00:00 UTC−09:30") {
		t.Errorf("head line %q", got)
	}
}

// A reason or a note of any length leaves a report that can be printed; what is cut is marked.
func TestEndlessReasonsStillPrint(t *testing.T) {
	b := shelter(t)
	endless := strings.Repeat("why ", 3000)
	for i := range b.Ribs {
		for k := range b.Ribs[i].Measurements {
			if b.Ribs[i].Measurements[k].Voided {
				b.Ribs[i].Measurements[k].VoidReason = endless
			}
		}
		for k := range b.Ribs[i].Skips {
			b.Ribs[i].Skips[k].Reason = endless
		}
	}
	b.Gauges[0].CheckNote = endless
	var out bytes.Buffer
	m := build(t, b)
	if err := typeset.WritePDF(&out, m.Sheet, typeset.A4); err != nil {
		t.Error(err)
	}
	out.Reset()
	if err := typeset.WriteText(&out, m.Sheet); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(out.String(), "…"); n != 4 {
		t.Errorf("%d texts are marked as cut, want 4", n)
	}
	if !strings.Contains(m.Document.Gauges[0].Note, endless) {
		t.Error("the JSON form has lost the note")
	}
}
