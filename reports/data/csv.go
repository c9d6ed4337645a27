package data

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// WriteCSV writes one line for each rib, out of tolerance first: verdict, reason, and deviation and expanded
// uncertainty of every characteristic in millimetres. A text that a spreadsheet would run as a formula stands
// behind an apostrophe, and so does one that begins with an apostrophe: taking one off gives the text back.
func WriteCSV(w io.Writer, d Document) error {
	head := texts("batch", "bend order", "rib", "lot", "round", "verdict", "direction", "worst", "reason")
	for _, c := range d.Target.Round {
		head = append(head, texts(c.Label+" deviation (mm)", c.Label+" uncertainty U, k=2 (mm)", c.Label+" state")...)
	}
	for _, c := range d.Target.Round {
		head = append(head, text(c.Label+" probability within limits"))
	}
	points := make([]map[string]Point, len(d.Jig.Series))
	for k, s := range d.Jig.Series {
		head = append(head, texts(s.Label+" off the jig (mm)", s.Label+" moving average (sd)",
			s.Label+" sum up (sd)", s.Label+" sum down (sd)")...)
		points[k] = map[string]Point{}
		for _, p := range s.Points {
			points[k][p.Rib] = p
		}
	}
	rows := [][]string{head}
	for _, r := range d.Ribs {
		row := []string{text(d.Batch.ID), strconv.Itoa(r.Order), text(r.ID), text(r.Lot), strconv.Itoa(r.Round),
			text(r.Verdict), text(r.Direction), text(r.Worst), text(r.Reason)}
		for _, c := range r.Chars {
			var n Numbers
			if c.Numbers != nil {
				n = *c.Numbers
			}
			row = append(row, n.DeviationMM, n.ExpandedMM, text(c.Lane))
		}
		for _, c := range r.Chars {
			row = append(row, c.Conformity)
		}
		for k := range points {
			p := points[k][r.ID]
			row = append(row, p.DeviationMM, p.Average, p.SumUp, p.SumDown)
		}
		rows = append(rows, row)
	}
	return writeRows(w, rows)
}

// WriteValuesCSV writes one line for each value on record, voided and replaced ones too; texts as in [WriteCSV].
func WriteValuesCSV(w io.Writer, d Document) error {
	rows := [][]string{texts("record", "at", "rib", "characteristic", "round", "value (mm)", "received", "unit received",
		"gauge", "entry", "by", "state", "void reason")}
	for _, m := range d.Measurements {
		row := []string{strconv.FormatInt(m.Seq, 10), m.At, text(m.Rib), text(m.Char), strconv.Itoa(m.Round), m.ValueMM}
		rows = append(rows, append(row, texts(m.Received, m.Unit, m.Gauge, m.Entry, m.By, m.State, m.VoidReason)...))
	}
	return writeRows(w, rows)
}

// writeRows writes RFC 4180: commas, CRLF, quotes doubled, a header line.
func writeRows(w io.Writer, rows [][]string) error {
	out := bufio.NewWriter(w)
	for _, row := range rows {
		fmt.Fprintf(out, "%s\r\n", strings.Join(row, ","))
	}
	return out.Flush()
}

func texts(all ...string) []string {
	for i, s := range all {
		all[i] = text(s)
	}
	return all
}

// text is a cell of text: guarded, and quoted where it has to be. Numbers stand as they are.
func text(s string) string {
	s = guarded(s)
	if !strings.ContainsAny(s, ",\"\r\n") && strings.TrimSpace(s) == s {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// guarded puts an apostrophe before a text that a spreadsheet would run as a formula: one that starts
// with = + - @, their full-width forms, a tab or a line end; and before an apostrophe.
func guarded(s string) string {
	for _, c := range "=+-@＝＋－＠\t\r\n'" {
		if strings.HasPrefix(s, string(c)) {
			return "'" + s
		}
	}
	return s
}
