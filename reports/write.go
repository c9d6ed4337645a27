package reports

import (
	"fmt"
	"io"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/data"
	"springline/reports/picture"
	"springline/reports/section"
	"springline/reports/typeset"
)

// Forms are the ways to write a report: what a person reads, then what programs do.
func Forms() []string { return append(SheetForms(), "json", "csv", "values.csv") }

// SheetForms are the ways to write a sheet.
func SheetForms() []string { return []string{"pdf", "html", "txt"} }

// Write writes a report in one of [Forms]; the paper counts for pdf only. Of csv there are two: a line for each
// rib, and a line for each value on record.
func Write(w io.Writer, m Model, form string, on typeset.Paper) error {
	switch form {
	case "json":
		return data.WriteJSON(w, m.Document)
	case "csv":
		return data.WriteCSV(w, m.Document)
	case "values.csv":
		return data.WriteValuesCSV(w, m.Document)
	case "pdf", "html", "txt":
		return WriteSheet(w, m.Sheet, form, on)
	}
	return fmt.Errorf("write a report as %q: use %s", form, words.Or(Forms()))
}

// WriteBatch builds the report of a batch in the name of a program, see [New], and writes it.
func WriteBatch(w io.Writer, b qc.Batch, software, form string, on typeset.Paper) error {
	m, err := New(b, software)
	if err != nil {
		return err
	}
	return Write(w, m, form, on)
}

// WriteSheet writes a sheet in one of [SheetForms].
func WriteSheet(w io.Writer, s typeset.Sheet, form string, on typeset.Paper) error {
	switch form {
	case "pdf":
		return typeset.WritePDF(w, s, on)
	case "html":
		return typeset.WriteHTML(w, s)
	case "txt":
		return typeset.WriteText(w, s)
	}
	return fmt.Errorf("write a sheet as %q: use %s", form, words.Or(SheetForms()))
}

// WriteTags writes a tag for each rib of the batch, what needs a hand first, of the given size: one to a page
// where the paper has that size, else as many as fit a sheet.
func WriteTags(w io.Writer, b qc.Batch, software string, size, on typeset.Paper) error {
	j, err := b.Judged()
	if err != nil {
		return fmt.Errorf("tags of batch %q: %w", b.ID, err)
	}
	tags, err := picture.Tags(j, size.W, size.H)
	if err != nil {
		return err
	}
	s := typeset.Sheet{ID: section.ReportID(b), Title: section.Title("Rib tags", b), Software: software}
	return typeset.WriteLabels(w, s, tags, size, on)
}
