package section

import (
	"fmt"

	"springline/qc"
	"springline/reports/typeset"
)

// Blank is the sheet of a batch empty, to be filled in by hand: a line for every rib planned and a place for
// every number, in the order of the round.
func Blank(b qc.Batch) []typeset.Section {
	none := func(qc.Characteristic) []string { return nil }
	return []typeset.Section{blankHeading(b), target(b.Target, nil, none), gauges(b), blankRibs(b), blankPairs(b)}
}

// BlankRunning are the head lines of every page of a blank sheet.
func BlankRunning(b qc.Batch) []string {
	return []string{batchLine(b), "Empty sheet, to be filled in by hand"}
}

func blankHeading(b qc.Batch) typeset.Section {
	return typeset.Section{Key: "batch", Blocks: []typeset.Block{{Facts: []typeset.Fact{
		fact("Batch", b.ID), fact("Place", b.Place), fact("Maker", b.Maker), fact("Target", targetName(b.Target)),
		fact("Ribs planned", fmt.Sprint(b.Planned)), fact("Stock lots", lots(b.Lots)),
		fact("Measured by", ""), fact("Date", ""), fact("Temperature of bar and tape", ""),
	}}}}
}

// numbered gives a blank table so many lines.
func numbered(t *typeset.Table, lines int) *typeset.Table {
	t.Blank = true
	for i := range lines {
		cs := make([]typeset.Cell, len(t.Columns))
		cs[0].Text = fmt.Sprint(i + 1)
		t.Rows = append(t.Rows, typeset.Row{Cells: cs})
	}
	return t
}

func blankRibs(b qc.Batch) typeset.Section {
	parts := chunks(b.Target.Round, 0, func(c qc.Characteristic) int { return 5 * c.Repeats })
	return typeset.Section{Key: "ribs", Title: "Ribs", NewPage: true, Blocks: append([]typeset.Block{
		text("Write the value as read and its unit if it is not mm. Take every reading of a characteristic; " +
			"between two readings lift the rib and lay it again.")},
		chunked(parts, func(cs []qc.Characteristic, _ bool) *typeset.Table {
			t := table(num("No.", ""), col("Rib"), col("Lot"))
			for _, c := range cs {
				for i := range c.Repeats {
					head := shortLabel(c)
					if c.Repeats > 1 {
						head = fmt.Sprintf("%s %d", head, i+1)
					}
					t.Columns = append(t.Columns, typeset.Column{Head: head, Unit: "mm"})
				}
			}
			t.Columns = append(t.Columns, col("Verdict"))
			return numbered(t, max(b.Planned, 1))
		})...)}
}

func blankPairs(b qc.Batch) typeset.Section {
	return typeset.Section{Key: "pairs", Title: "Pairs and spare", Blocks: []typeset.Block{
		{Table: numbered(pairColumns(), max(1, b.Planned/2))}, {Facts: []typeset.Fact{fact("Spare", "")}}}}
}
