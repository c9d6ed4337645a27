package section

import (
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/typeset"
)

// What sections print lengths to that are no reading.
const (
	whole      = length.Millimetre
	tenth      = length.Millimetre / 10
	hundredth  = length.Millimetre / 100
	thousandth = length.Micrometre
)

func text(s string) typeset.Block { return typeset.Block{Text: s} }

func fact(name, value string) typeset.Fact { return typeset.Fact{Name: name, Value: value} }

func figure(d draw.Drawing) typeset.Block { return typeset.Block{Figure: &d} }

func table(columns ...typeset.Column) *typeset.Table { return &typeset.Table{Columns: columns} }

// col is a column of texts, num one of numbers.
func col(head string) typeset.Column { return typeset.Column{Head: head} }
func num(head, unit string) typeset.Column {
	return typeset.Column{Head: head, Unit: unit, Align: typeset.Number}
}

func cells(texts ...string) []typeset.Cell {
	out := make([]typeset.Cell, len(texts))
	for i, s := range texts {
		out[i].Text = s
	}
	return out
}

func row(texts ...string) typeset.Row { return typeset.Row{Cells: cells(texts...)} }

// or is s, or what stands in the place of an empty one.
func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

// said tells an empty entry from a line to write on.
func said(s string) string { return or(s, "not said") }

// mostReason is how much of a reason a report carries; the record holds all of it. A cell of this
// length still fits a page.
const mostReason = 400

func given(reason string) string { return draw.Shorten(or(reason, "none given"), mostReason) }

func label(b qc.Judged, id qc.CharID) string {
	if c, ok := b.Target.Characteristic(id); ok {
		return c.Label()
	}
	return string(id)
}

// shortLabel is what stands at the head of a column.
func shortLabel(c qc.Characteristic) string {
	switch c.Kind {
	case qc.StationOffset:
		return string(c.ID)
	case qc.TipToTip:
		return "Tip to tip"
	case qc.CrownHeight:
		return "Crown"
	}
	return words.Capital(c.Label())
}

// bare is an exact length in millimetres without the unit, which stands at the head of its column.
func bare(l length.Length) string { return words.Fixed(l, qc.ExactStep(l)) }

// received is the value as typed or sent, with its unit unless the text already ends in it.
func received(m qc.Measurement) string {
	text := strings.TrimSpace(m.Text)
	switch {
	case text == "":
		return words.Exact(m.Value)
	case m.Unit == "" || strings.HasSuffix(text, m.Unit) || strings.ContainsAny(text, `'"`):
		return text
	}
	return text + " " + m.Unit
}

// stamp prints a time with its offset from UTC; zero prints as nothing.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02 15:04:05 ") + offset(t)
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.DateOnly)
}

func offset(t time.Time) string {
	if _, o := t.Zone(); o == 0 {
		return "UTC"
	}
	return "UTC" + words.Minus(t.Format("-07:00"))
}

// list joins names of any kind.
func list[T ~string](names []T) string {
	var b strings.Builder
	for i, n := range names {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(string(n))
	}
	return b.String()
}
