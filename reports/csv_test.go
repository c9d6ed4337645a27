package reports_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"io"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"springline/reports/data"
)

// Any text comes back whole through Go's RFC 4180 reader, and no cell begins as a formula.
func TestCSVRoundTrip(t *testing.T) {
	base := build(t, shelter(t))
	text := rapid.StringOfN(rapid.RuneFrom([]rune("abc =+-@'\",;＝－\t\n½😀צ")), 0, 12, -1)
	rapid.Check(t, func(rt *rapid.T) {
		m := base
		m.Document.Ribs = append([]data.Rib{}, base.Document.Ribs...)
		for i := range m.Document.Ribs {
			m.Document.Ribs[i].ID = text.Draw(rt, "rib")
			m.Document.Ribs[i].Reason = text.Draw(rt, "reason")
		}
		rows := readCSV(rt, data.WriteCSV, m.Document)
		if len(rows) != 1+len(m.Document.Ribs) {
			rt.Fatalf("%d lines for %d ribs", len(rows), len(m.Document.Ribs))
		}
		for i, r := range m.Document.Ribs {
			row := rows[i+1]
			for _, c := range []string{row[2], row[8]} {
				if c != "" && strings.ContainsAny(c[:1], "=+-@\t\r\n") {
					rt.Errorf("cell %q begins as a formula", c)
				}
			}
			if got := unguarded(row[2]); got != r.ID {
				rt.Errorf("rib %q comes back as %q", r.ID, got)
			}
			if got := unguarded(row[8]); got != r.Reason {
				rt.Errorf("reason %q comes back as %q", r.Reason, got)
			}
			for k, d := range r.Chars {
				if d.Numbers != nil && (row[9+3*k] != d.Numbers.DeviationMM || row[10+3*k] != d.Numbers.ExpandedMM) {
					rt.Errorf("numbers %v come back as %q", *d.Numbers, row[9+3*k:11+3*k])
				}
			}
		}
	})
}

// unguarded takes off the apostrophe that a text may stand behind.
func unguarded(s string) string { return strings.TrimPrefix(s, "'") }

type fataler interface{ Fatal(...any) }

func readCSV(t fataler, write func(io.Writer, data.Document) error, d data.Document) [][]string {
	var b bytes.Buffer
	if err := write(&b, d); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Numbers are numbers: a negative deviation is never guarded, and every line ends in CRLF.
func TestCSVBytes(t *testing.T) {
	var b bytes.Buffer
	if err := data.WriteCSV(&b, build(t, shelter(t)).Document); err != nil {
		t.Fatal(err)
	}
	s := b.String()
	if !strings.Contains(s, ",-9.1,") {
		t.Error("the deviation -9.1 mm is not in the file as -9.1")
	}
	if strings.Contains(s, "'-") {
		t.Error("a negative number is guarded")
	}
	if strings.Count(s, "\r\n") != 26 || strings.Count(s, "\n") != 26 {
		t.Errorf("%d lines end in CRLF, %d in LF", strings.Count(s, "\r\n"), strings.Count(s, "\n"))
	}
	if !strings.Contains(strings.SplitN(s, "\r\n", 2)[0], "tip-to-tip deviation (mm)") {
		t.Error("the header does not name the unit")
	}
}

// JSON holds no binary fractions and says its schema.
func TestJSONHoldsIntegersAndText(t *testing.T) {
	var b bytes.Buffer
	if err := data.WriteJSON(&b, build(t, shelter(t)).Document); err != nil {
		t.Fatal(err)
	}
	d := json.NewDecoder(&b)
	d.UseNumber()
	var doc map[string]any
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	if doc["schema"] != data.Schema {
		t.Errorf("schema %v", doc["schema"])
	}
	numbers := 0
	var look func(path string, v any)
	look = func(path string, v any) {
		switch v := v.(type) {
		case map[string]any:
			for k, x := range v {
				look(path+"/"+k, x)
			}
		case []any:
			for _, x := range v {
				look(path, x)
			}
		case json.Number:
			numbers++
			if _, err := v.Int64(); err != nil {
				t.Errorf("%s is %s, not a whole number", path, v)
			}
		case nil:
			t.Errorf("%s is null", path)
		}
	}
	look("", doc)
	if numbers < 1000 {
		t.Errorf("only %d numbers seen", numbers)
	}
}
