package section

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// StudyTitle names a gauge study.
func StudyTitle(b qc.Batch, s qc.Study) string {
	return "Gauge study: " + gaugeNamed(b, s.Gauge) + ", " + s.Char.Label()
}

func gaugeNamed(b qc.Batch, id string) string {
	if g, ok := b.Gauge(id); ok && g.Name != "" {
		return g.Name
	}
	return "gauge " + id
}

// StudyHeading says of what batch a gauge study is the report.
func StudyHeading(b qc.Batch, s qc.Study) typeset.Section {
	return typeset.Section{Key: "report", Title: "The study", Blocks: []typeset.Block{{Facts: []typeset.Fact{
		fact("Batch", b.ID), fact("Target", fmt.Sprintf("%s, revision %d", b.Target.Name, b.Target.Revision)),
		fact("Place", said(b.Place)), fact("Ended by", said(s.By))}}}}
}

// Cancelled names the gauge studies that were cancelled, with their reason; nothing where none was.
func Cancelled(b qc.Batch) []typeset.Section {
	var gone []string
	for _, s := range b.Studies {
		if s.Cancel != "" {
			gone = append(gone, fmt.Sprintf("%s of %s with %s was cancelled after %s: "+
				"%s.", words.Capital(s.ID), s.Char.Label(), gaugeNamed(b, s.Gauge),
				words.Count(s.Done(), "reading", "readings"), given(s.Cancel)))
		}
	}
	if len(gone) == 0 {
		return nil
	}
	return []typeset.Section{{Key: "studies-cancelled", Title: "Gauge studies cancelled", Blocks: []typeset.Block{{List: gone}}}}
}

// Study is a finished gauge study: result, analysis of variance, chart and every reading.
func Study(title string, f qc.StudyFound) typeset.Section {
	s, r := f.Study, f.Result
	t := table(col("What"), col("Found"))
	for _, l := range r.Lines() {
		t.Rows = append(t.Rows, row(l.Name, l.Value))
	}
	sec := typeset.Section{Key: s.ID, Title: title, Blocks: []typeset.Block{
		text(string(r.Word) + ". " + r.Verdict + " " + r.Help),
		{Facts: []typeset.Fact{
			fact("Ribs", fmt.Sprint(len(s.Ribs))), fact("Persons", fmt.Sprint(len(s.Persons))),
			fact("Readings of each rib by each person", fmt.Sprint(s.Repeats)), fact("Begun", stamp(s.Started)),
			fact("Order", "blind, drawn anew for each round of repeats (seed "+fmt.Sprintf("%016x", s.Seed)+")"),
		}},
		{Table: t},
		text("Analysis of variance, random ribs and persons; sums of squares in mm². Six standard deviations are held against the tolerance; " +
			"10 % and 30 % are the bounds of the words."),
		{Table: varianceTable(r)},
		figure(picture.Study(s, r)),
		{Table: studyReadings(f)},
	}}
	if gone := withdrawn(s); len(gone.Rows) > 0 {
		sec.Blocks = append(sec.Blocks, text("Readings withdrawn with a written cause and taken again. They stay on "+
			"record."), typeset.Block{Table: gone})
	}
	return sec
}

func varianceTable(r qc.StudyResult) *typeset.Table {
	t := table(col("Source"), num("Degrees of freedom", ""), num("Sum of squares", "mm²"), num("Mean square", "mm²"),
		num("F", ""), num("p", ""))
	lines := r.Table()
	last := lines[len(lines)-1] // the repeats
	for _, l := range lines {
		f, p := "—", "—"
		if !math.IsNaN(l.F) {
			f, p = words.Decimals(l.F, 2), words.Decimals(l.P, 3)
			if l.P < .0005 {
				p = "<0.001"
			}
		}
		t.Rows = append(t.Rows, row(qc.SourceText(l.Name), fmt.Sprint(l.DOF), words.Decimals(l.SS, placesFor(last.SS)),
			words.Decimals(l.MS, placesFor(last.MS)), f, p))
	}
	return t
}

// placesFor is the decimals that give x four digits, never more than eight.
func placesFor(x float64) int {
	if x <= 0 {
		return 2
	}
	return min(8, max(0, 3-int(math.Floor(math.Log10(x)))))
}

// studyReadings is the table behind the chart: a line for each rib and person, a column for each repeat, less
// the wanted value.
func studyReadings(f qc.StudyFound) *typeset.Table {
	s := f.Study
	step := min(qc.ReadStep(f.Gauge.Resolution, 1), qc.ExactStep(s.Char.Nominal.Round(length.Micrometre, length.TieEven)))
	t := table(col("Rib"), col("Person"))
	t.Caption = "Readings less the wanted " + words.Exact(s.Char.Nominal)
	for k := range s.Repeats {
		t.Columns = append(t.Columns, num(fmt.Sprint("Reading ", k+1), "mm"))
	}
	read := map[qc.StudyStep]string{}
	for _, r := range s.Readings {
		if r.Counts() {
			read[s.Steps[r.Step]] = words.Signed(r.Value-s.Char.Nominal, step)
		}
	}
	for i, rib := range s.Ribs {
		for j, person := range s.Persons {
			line := row(rib, person)
			for k := range s.Repeats {
				line.Cells = append(line.Cells, typeset.Cell{Text: read[qc.StudyStep{Rib: i, Person: j, Round: k + 1}]})
			}
			t.Rows = append(t.Rows, line)
		}
	}
	return t
}

func withdrawn(s qc.Study) *typeset.Table {
	t := table(num("Record", ""), col("Rib"), col("Person"), col("Value as received"), col("When"), col("Cause"))
	for _, r := range s.Readings {
		if r.Voided {
			t.Rows = append(t.Rows, row(fmt.Sprint(r.Seq), r.Rib, s.Persons[s.Steps[r.Step].Person],
				received(r.Measurement), stamp(r.At), given(r.VoidReason)))
		}
	}
	return t
}
