package reports_test

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/length"
	"springline/reports"
	"springline/reports/data"
	"springline/reports/typeset"
)

// moved is the invented batch out of one lot, with every rib from the 15th on 9 mm wider than it was (10 mm with
// what the lots differ), and the strays that need a hand brought in.
func moved(t testing.TB) qc.Batch {
	t.Helper()
	b := shelter(t)
	b.Pairs, b.Order, b.Spares = nil, nil, nil
	tip, _ := b.Target.Characteristic(qc.Tip)
	for i := range b.Ribs {
		r := &b.Ribs[i]
		r.Lot = "L1"
		for k := range r.Measurements {
			m := &r.Measurements[k]
			if m.Char != qc.Tip {
				continue
			}
			off := m.Value - tip.Nominal
			m.Value = tip.Nominal + max(-2*length.Millimetre, min(off, 2*length.Millimetre))
			if i >= 14 {
				m.Value += 9 * length.Millimetre
			}
		}
	}
	return b
}

func textOf(t *testing.T, b qc.Batch) (string, reports.Model) {
	t.Helper()
	m, err := reports.New(b, "springline")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	if err := typeset.WriteText(&out, m.Sheet); err != nil {
		t.Fatal(err)
	}
	return strings.Join(strings.Fields(out.String()), " "), m
}

func TestReportSaysWhatTheJigDid(t *testing.T) {
	text, m := textOf(t, moved(t))
	for _, want := range []string{
		"The tips have opened by about 10 mm since rib R15: check that block 1 has not moved, then re-test the jig.",
		"less than 0.6 times in 100 ribs", "Likeliest change (Pettitt) after rib R14", "The numbers behind the drawings",
		"What the gauges can prove", "The guard band takes", "works one way only",
		"Ribs off the jig against the tolerance", "at least",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
	if !m.Document.Jig.Changed || len(m.Document.Jig.Series) != 2 || len(m.Document.Jig.Series[0].Points) != 25 {
		t.Errorf("the document says %+v", m.Document.Jig.Finding)
	}
	var out bytes.Buffer
	if err := data.WriteCSV(&out, m.Document); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&out).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, h := range rows[0] {
		at[h] = i
	}
	first, ok := at["tip-to-tip off the jig (mm)"]
	if _, more := at["crown height probability within limits"]; !ok || !more {
		t.Fatalf("the heads are %q", rows[0])
	}
	for _, r := range rows[1:] {
		if len(r) != len(rows[0]) || r[first] == "" {
			t.Errorf("rib %s: %d cells of %d, first deviation %q", r[2], len(r), len(rows[0]), r[first])
		}
	}
}

// What a jig did before its last set-up stays in the report.
func TestReportKeepsWhatWasFoundBefore(t *testing.T) {
	b := moved(t)
	for i := 20; i < len(b.Ribs); i++ {
		b.Ribs[i].Jig, b.Ribs[i].FirstJig = "J2", "J2"
	}
	b.Jigs = append(b.Jigs, qc.Jig{ID: "J2", FaceRadius: mm(1300), Blocks: 9})
	text, _ := textOf(t, b)
	for _, want := range []string{"Nothing is said of the jig below 8 ribs; so far 5 ribs off jig J2, lot L1.",
		"Before the last set-up or lot:", "20 ribs off jig J1, lot L1: The tips have opened by about 10 mm since rib R15"} {
		if !strings.Contains(text, want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}

// Risks are stated where the spread of the ribs is normal, as per thousand of both kinds.
func TestReportStatesTheRisks(t *testing.T) {
	b := moved(t)
	b.Ribs = b.Ribs[:14]
	text, m := textOf(t, b)
	if !strings.Contains(text, "consumer's risk") || !strings.Contains(text, "producer's risk") {
		t.Error("no risk is stated")
	}
	found := false
	for _, f := range m.Document.Fit {
		found = found || f.Char == "tip" && f.FalseAccept != "" && f.CpkLow != ""
	}
	if !found {
		t.Errorf("the document holds no risk: %+v", m.Document.Fit)
	}
}
