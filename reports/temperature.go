package reports

import (
	"fmt"
	"strconv"

	"springline/qc"
)

// temperatures lists the temperatures that were read and what they added to each length, as blocks after the
// gauges; nothing where none was read.
func temperatures(w work) []Block {
	if len(w.b.Temps) == 0 || w.o.Blank {
		return nil
	}
	deg := func(v float64) string { return minus(strconv.FormatFloat(v, 'f', -1, 64)) }
	read := &Table{Columns: []Column{{Head: "Temperatures read"}, {Head: "Bar", Unit: "°C", Align: Number}, {Head: "Tape", Unit: "°C", Align: Number},
		{Head: "Within", Unit: "± K", Align: Number}, {Head: "By"}, {Head: "State"}}}
	for _, t := range w.b.Temps {
		state := "counts"
		if t.Replaced != 0 {
			state = fmt.Sprintf("was wrong: record %d stands in its place", t.Replaced)
		}
		read.Rows = append(read.Rows, Row{Cells: []Cell{{Text: stamp(t.At)}, {Text: deg(t.Bar)}, {Text: deg(t.Tape)}, {Text: deg(t.Doubt)},
			{Text: said(t.By)}, {Text: state}}})
	}
	blocks := []Block{{Text: fmt.Sprintf("Lengths read on a tape or a rule within %s h after the temperatures are corrected to 20 °C: bar and scale are taken as steel, "+
		"11.5 millionths for each kelvin, so of equal temperatures nothing is left. Deviations and verdicts are those of the corrected lengths; "+
		"the uncertainty counts how well the temperatures are known instead of the half-width assumed.",
		strconv.FormatFloat(qc.TemperatureHolds.Hours(), 'f', -1, 64))}, {Table: read}}
	t := &Table{Columns: []Column{{Head: "Rib"}, {Head: "Length"}, {Head: "Mean as read", Unit: "mm", Align: Number},
		{Head: "Correction", Unit: "mm", Align: Number}, {Head: "At 20 °C", Unit: "mm", Align: Number}}}
	for _, r := range w.bent {
		for _, j := range r.v.Chars {
			if !j.Measured || !j.Dev.Temp.Read() {
				continue
			}
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: r.ID}, {Text: j.Char.Label()}, {Text: plain(j.Dev.Value-j.Dev.To20, 2)},
				{Text: signed(j.Dev.To20, 2)}, {Text: plain(j.Dev.Value, 2)}}})
		}
	}
	if len(t.Rows) > 0 {
		blocks = append(blocks, Block{Table: t})
	}
	return blocks
}
