package reports

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"
)

// column is a column of a CSV file: its heading with the unit, and its description in the metadata.
type column struct {
	title string
	name  string // for programs
	kind  string // datatype of XML Schema: string, integer, decimal, dateTime
	unit  string // UCUM code, empty for none
}

// cell is one value of a CSV row. Numbers are written as they are; text is guarded.
type cell struct {
	text   string
	number bool
}

func textCell(s string) cell    { return cell{text: s} }
func intCell(n int64) cell      { return cell{text: strconv.FormatInt(n, 10), number: true} }
func decimalCell(s string) cell { return cell{text: s, number: true} }
func (c column) isText() bool   { return c.kind == "string" }

// WriteCSV writes one line for each rib, out of tolerance first: verdict, reason, and deviation and
// expanded uncertainty of every characteristic in millimetres. See [Guarded] for texts.
func WriteCSV(w io.Writer, m Model) error { return writeTable(w, ribColumns(m), ribCells(m)) }

// WriteReadingsCSV writes one line for each value on record, voided and replaced ones too.
func WriteReadingsCSV(w io.Writer, m Model) error {
	return writeTable(w, readingColumns(), readingCells(m))
}

func ribColumns(m Model) []column {
	cs := []column{
		{"batch", "batch", "string", ""}, {"bend order", "bend_order", "integer", ""}, {"rib", "rib", "string", ""},
		{"lot", "lot", "string", ""}, {"round", "round", "integer", ""}, {"verdict", "verdict", "string", ""},
		{"direction", "direction", "string", ""}, {"worst", "worst", "string", ""}, {"reason", "reason", "string", ""},
	}
	for _, c := range m.Document.Target.Round {
		id := strings.ReplaceAll(c.ID, "-", "_")
		cs = append(cs,
			column{c.Label + " deviation (mm)", id + "_deviation_mm", "decimal", "mm"},
			column{c.Label + " uncertainty U, k=2 (mm)", id + "_uncertainty_mm", "decimal", "mm"},
			column{c.Label + " state", id + "_state", "string", ""})
	}
	for _, c := range m.Document.Target.Round {
		id := strings.ReplaceAll(c.ID, "-", "_")
		cs = append(cs, column{c.Label + " probability within limits", id + "_conformity", "decimal", ""})
	}
	for _, d := range m.Document.Jig.Series {
		id := strings.ReplaceAll(d.Char, "-", "_")
		cs = append(cs,
			column{d.Label + " off the jig (mm)", id + "_first_deviation_mm", "decimal", "mm"},
			column{d.Label + " moving average (sd)", id + "_moving_average", "decimal", ""},
			column{d.Label + " sum up (sd)", id + "_sum_up", "decimal", ""},
			column{d.Label + " sum down (sd)", id + "_sum_down", "decimal", ""})
	}
	return cs
}

func ribCells(m Model) [][]cell {
	var rows [][]cell
	points := make([]map[string]DocPoint, len(m.Document.Jig.Series))
	for k, d := range m.Document.Jig.Series {
		points[k] = map[string]DocPoint{}
		for _, p := range d.Points {
			points[k][p.Rib] = p
		}
	}
	for _, r := range m.Document.Ribs {
		row := []cell{textCell(m.Document.Batch.ID), intCell(int64(r.Order)), textCell(r.ID), textCell(r.Lot), intCell(int64(r.Round)),
			textCell(r.Verdict), textCell(r.Direction), textCell(r.Worst), textCell(r.Reason)}
		for _, d := range r.Chars {
			if d.Numbers == nil {
				row = append(row, decimalCell(""), decimalCell(""), textCell(d.Lane))
				continue
			}
			row = append(row, decimalCell(d.Numbers.DeviationMM), decimalCell(d.Numbers.ExpandedMM), textCell(d.Lane))
		}
		for _, d := range r.Chars {
			row = append(row, decimalCell(d.Conformity))
		}
		for k := range m.Document.Jig.Series {
			p := points[k][r.ID]
			row = append(row, decimalCell(p.DeviationMM), decimalCell(p.Average), decimalCell(p.SumUp), decimalCell(p.SumDown))
		}
		rows = append(rows, row)
	}
	return rows
}

func readingColumns() []column {
	return []column{
		{"record", "record", "integer", ""}, {"at", "at", "dateTime", ""}, {"rib", "rib", "string", ""},
		{"characteristic", "characteristic", "string", ""}, {"round", "round", "integer", ""}, {"value (mm)", "value_mm", "decimal", "mm"},
		{"received", "received", "string", ""}, {"unit received", "unit_received", "string", ""}, {"gauge", "gauge", "string", ""},
		{"entry", "entry", "string", ""}, {"by", "by", "string", ""}, {"state", "state", "string", ""}, {"void reason", "void_reason", "string", ""},
	}
}

func readingCells(m Model) [][]cell {
	var rows [][]cell
	for _, r := range m.Document.Measurements {
		rows = append(rows, []cell{intCell(r.Seq), decimalCell(r.At), textCell(r.Rib), textCell(r.Char), intCell(int64(r.Round)),
			decimalCell(r.ValueMM), textCell(r.Received), textCell(r.Unit), textCell(r.Gauge), textCell(r.Entry), textCell(r.By),
			textCell(r.State), textCell(r.VoidReason)})
	}
	return rows
}

// writeTable writes RFC 4180: commas, CRLF, quotes doubled, a header line.
func writeTable(w io.Writer, cs []column, rows [][]cell) error {
	out := bufio.NewWriter(w)
	head := make([]string, len(cs))
	for i, c := range cs {
		head[i] = quoted(Guarded(c.title))
	}
	fmt.Fprintf(out, "%s\r\n", strings.Join(head, ","))
	for _, row := range rows {
		line := make([]string, len(row))
		for i, c := range row {
			line[i] = c.text
			if !c.number {
				line[i] = quoted(Guarded(c.text))
			}
		}
		fmt.Fprintf(out, "%s\r\n", strings.Join(line, ","))
	}
	return out.Flush()
}

func quoted(s string) string {
	if !strings.ContainsAny(s, ",\"\r\n") && strings.TrimSpace(s) == s {
		return s
	}
	return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
}

// Guarded puts an apostrophe before a text that a spreadsheet would run as a formula: one that starts
// with = + - @, their full-width forms, a tab or a line end. A text that starts with an apostrophe gets
// one as well, so that taking off one apostrophe always gives the text back.
func Guarded(s string) string {
	if first, _ := utf8.DecodeRuneInString(s); s != "" && strings.ContainsRune("=+-@＝＋－＠\t\r\n'", first) {
		return "'" + s
	}
	return s
}

// Unguarded takes off what [Guarded] put on.
func Unguarded(s string) string { return strings.TrimPrefix(s, "'") }
