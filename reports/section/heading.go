package section

import (
	"fmt"
	"strings"
	"time"

	"springline/qc"
	"springline/reports/typeset"
)

// Heading says which batch this is, in which report of which program.
func Heading(b qc.Judged, report, software string) typeset.Section {
	return typeset.Section{Key: "batch", Blocks: []typeset.Block{{Facts: []typeset.Fact{
		fact("Batch", b.ID), fact("Ribs planned", fmt.Sprint(b.Planned)),
		fact("Place", said(b.Place)), fact("Ribs on record", fmt.Sprint(len(b.InOrder))),
		fact("Maker", said(b.Maker)), fact("Software", software),
		fact("Opened", stamp(b.Opened)), fact("Closed", or(stamp(b.Closed), "still open")),
		fact("As of", stamp(b.AsOf)), fact("Report", report),
		fact("Measured", measuredSpan(b.Batch)),
		fact("Target", targetName(b.Target)),
		fact("Stock lots", lots(b.Lots)),
	}}}}
}

func targetName(t qc.Target) string {
	name := t.Name
	if name == "" {
		name = t.ID
	} else if t.ID != "" && t.ID != t.Name {
		name += " (" + t.ID + ")"
	}
	return fmt.Sprintf("%s, revision %d", name, t.Revision)
}

func lots(ls []qc.Lot) string {
	var out []string
	for _, l := range ls {
		s := l.ID
		if l.Heat != "" {
			s += " (heat " + l.Heat + ")"
		}
		out = append(out, s)
	}
	return or(strings.Join(out, ", "), "none named")
}

// measuredSpan is the time from the first to the last value.
func measuredSpan(b qc.Batch) string {
	var first, last time.Time
	for _, r := range b.Ribs {
		for _, m := range r.Measurements {
			if first.IsZero() || m.At.Before(first) {
				first = m.At
			}
			if m.At.After(last) {
				last = m.At
			}
		}
	}
	to := " to 2006-01-02 15:04 "
	switch {
	case first.IsZero():
		return "nothing yet"
	case day(first) == day(last):
		to = " to 15:04 "
	}
	return first.Format("2006-01-02 15:04") + last.Format(to) + offset(last)
}

// Title names a sheet about the batch.
func Title(kind string, b qc.Batch) string { return kind + ": " + or(b.Title, "batch "+b.ID) }

// ReportID names batch, bench, epoch and the stretch of the record: two reports with the same id say the same.
func ReportID(b qc.Batch) string {
	r := b.Record
	if r.Last == 0 {
		return b.ID
	}
	return fmt.Sprintf("%s/%s/%d/%d-%d", b.ID, r.Bench, r.Epoch, r.First, r.Last)
}

// Running are the head lines of every page of a report.
func Running(b qc.Batch) []string {
	return []string{batchLine(b), "As of " + stamp(b.AsOf) + " · Report " + ReportID(b)}
}

func batchLine(b qc.Batch) string {
	if b.Title == "" {
		return "Batch " + b.ID
	}
	return "Batch " + b.ID + " · " + b.Title
}

// Foot are the foot lines of every page of a report.
func Foot(b qc.Batch, software string) []string {
	c, r := b.Counts, b.Record
	return []string{
		fmt.Sprintf("%s · record %d to %d · head %.12s", software, r.First, r.Last, r.Head),
		fmt.Sprintf("Values that count %d · taken again %d · voided %d · typed %d", c.Measured, c.Again, c.Voided, c.Typed),
	}
}
