package section

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/typeset"
)

// temperatures lists the temperatures that were read and what they added to each length, as blocks after the
// gauges; nothing where none was read.
func temperatures(b qc.Judged) []typeset.Block {
	if len(b.Temps) == 0 {
		return nil
	}
	read := table(col("Temperatures read"), num("Bar", "°C"), num("Tape", "°C"), num("Within", "± K"), col("By"), col("State"))
	for _, t := range b.Temps {
		state := "counts"
		if t.Replaced != 0 {
			state = fmt.Sprintf("was wrong: record %d stands in its place", t.Replaced)
		}
		read.Rows = append(read.Rows, row(stamp(t.At), words.Shortest(t.Bar), words.Shortest(t.Tape), words.Shortest(t.Doubt), said(t.By), state))
	}
	blocks := []typeset.Block{text(fmt.Sprintf("Lengths read on a tape or a rule within %s h after the temperatures are corrected to 20 °C: "+
		"bar and scale are taken as steel, 11.5 millionths for each kelvin, so of equal temperatures nothing is left. "+
		"Deviations and verdicts are those of the corrected lengths; the uncertainty counts how well the temperatures are known instead of "+
		"the half-width assumed.", words.Shortest(qc.TemperatureHolds.Hours()))), {Table: read}}
	t := table(col("Rib"), col("Length"), num("Mean as read", "mm"), num("Correction", "mm"), num("At 20 °C", "mm"))
	for _, r := range b.InOrder {
		for _, j := range r.Verdict.Chars {
			if d := j.Dev; j.Measured && d.Temp.Read() {
				t.Rows = append(t.Rows, row(r.ID, j.Char.Label(), words.Fixed(d.Value-d.To20, hundredth),
					words.Signed(d.To20, hundredth), words.Fixed(d.Value, hundredth)))
			}
		}
	}
	if len(t.Rows) > 0 {
		blocks = append(blocks, typeset.Block{Table: t})
	}
	return blocks
}
