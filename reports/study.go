package reports

import (
	"fmt"
	"math"
	"strconv"

	"springline/qc"
	"springline/qc/length"
)

// NewStudy builds the report on one gauge study of a batch, the latest finished one for an empty id: what was
// measured with what by whom, the result, the chart, and every reading with those that were withdrawn.
func NewStudy(b qc.Batch, id string, o Options) (Model, error) {
	if o.Software == "" {
		o.Software = "springline"
	}
	s, err := studyNamed(b, id)
	if err != nil {
		return Model{}, err
	}
	w, err := newWork(b, o)
	if err != nil {
		return Model{}, fmt.Errorf("report on %s of batch %q: %w", s.ID, b.ID, err)
	}
	m := Model{ID: reportID(b) + "/" + s.ID, Title: "Gauge study: " + gaugeNamed(b, s.Gauge) + ", " + s.Char.Label(), Software: o.Software,
		Running: running(b, o), Foot: foot(b, o)}
	head := Section{Key: "report", Title: "The study", Blocks: []Block{{Facts: []Fact{
		{"Batch", b.ID}, {"Target", fmt.Sprintf("%s, revision %d", b.Target.Name, b.Target.Revision)}, {"Place", b.Place}, {"Ended by", s.By}}}}}
	if head.Blocks[0].Facts[3].Value == "" {
		head.Blocks[0].Facts[3].Value = "not said"
	}
	if b.Place == "" {
		head.Blocks[0].Facts[2].Value = "not said"
	}
	body, err := studySection(w, s)
	if err != nil {
		return Model{}, err
	}
	body.Title = "What it came to"
	code, err := record(w)
	if err != nil {
		return Model{}, fmt.Errorf("report on %s of batch %q: %w", s.ID, b.ID, err)
	}
	sign := Section{Key: "signatures", Title: "Signed for", Together: true, Blocks: []Block{
		{Text: "This sheet is about one gauge, one characteristic and the people named, as they measured then. It says nothing on whether a rib is right."},
		{Signers: []Signer{{Part: "Maker", Name: b.Maker}, {Part: "Checker"}}}}}
	m.Sections = append([]Section{head}, body, cautions(), code, sign)
	m.Document = document(w, m)
	return m, nil
}

func studyNamed(b qc.Batch, id string) (qc.Study, error) {
	var found *qc.Study
	for i, s := range b.Studies {
		if s.Finished && (id == "" || s.ID == id) {
			found = &b.Studies[i]
		}
	}
	switch {
	case found != nil:
		return *found, nil
	case id == "":
		return qc.Study{}, fmt.Errorf("report on a gauge study of batch %q: none is finished; take its readings and finish it first", b.ID)
	}
	return qc.Study{}, fmt.Errorf("report on gauge study %q of batch %q: there is no finished one of that name", id, b.ID)
}

func gaugeNamed(b qc.Batch, id string) string {
	if g, ok := b.Gauge(id); ok && g.Name != "" {
		return g.Name
	}
	return "gauge " + id
}

// studies are the finished gauge studies of the batch; those cancelled are named with their reason.
func studies(w work) ([]Section, error) {
	var list []Section
	for _, s := range w.b.Studies {
		if !s.Finished {
			continue
		}
		sec, err := studySection(w, s)
		if err != nil {
			return nil, err
		}
		list = append(list, sec)
	}
	var gone []string
	for _, s := range w.b.Studies {
		if s.Cancel != "" {
			gone = append(gone, fmt.Sprintf("%s of %s with %s was cancelled after %s: %s.", capital(s.ID), s.Char.Label(), gaugeNamed(w.b, s.Gauge),
				plural(s.Done(), "reading", "readings"), shortName(s.Cancel, mostReason)))
		}
	}
	if len(gone) > 0 {
		list = append(list, Section{Key: "studies-cancelled", Title: "Gauge studies cancelled", Blocks: []Block{{List: gone}}})
	}
	return list, nil
}

func studySection(w work, s qc.Study) (Section, error) {
	g, ok := w.b.Gauge(s.Gauge)
	if !ok {
		return Section{}, fmt.Errorf("report on %s: gauge %q is not in batch %q", s.ID, s.Gauge, w.b.ID)
	}
	r, err := s.Result(g)
	if err != nil {
		return Section{}, err
	}
	sec := Section{Key: s.ID, Title: "Gauge study: " + gaugeNamed(w.b, s.Gauge) + ", " + s.Char.Label()}
	add := func(b ...Block) { sec.Blocks = append(sec.Blocks, b...) }
	add(Block{Text: string(r.Word) + ". " + r.Verdict + " " + r.Help})
	add(Block{Facts: []Fact{
		{"Ribs", fmt.Sprint(len(s.Ribs))}, {"Persons", fmt.Sprint(len(s.Persons))},
		{"Readings of each rib by each person", fmt.Sprint(s.Repeats)}, {"Begun", stamp(s.Started)},
		{"Order", "blind, drawn anew for each round of repeats (seed " + fmt.Sprintf("%016x", s.Seed) + ")"},
	}})
	t := &Table{Columns: []Column{{Head: "What"}, {Head: "Found"}}}
	for _, l := range r.Lines() {
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: l.Name}, {Text: l.Value}}})
	}
	add(Block{Table: t}, Block{Text: "Analysis of variance, random ribs and persons; sums of squares in mm². Six standard deviations are held against the tolerance; 10 % and 30 % are the bounds of the words."},
		Block{Table: varianceTable(r)})
	d := studyChart(s, r)
	add(Block{Figure: &d}, Block{Table: studyReadings(w, s)})
	if gone := withdrawn(w, s); len(gone.Rows) > 0 {
		add(Block{Text: "Readings withdrawn with a written cause and taken again. They stay on record."}, Block{Table: gone})
	}
	return sec, nil
}

func varianceTable(r qc.StudyResult) *Table {
	t := &Table{Columns: []Column{{Head: "Source"}, {Head: "Degrees of freedom", Align: Number}, {Head: "Sum of squares", Unit: "mm²", Align: Number},
		{Head: "Mean square", Unit: "mm²", Align: Number}, {Head: "F", Align: Number}, {Head: "p", Align: Number}}}
	var ss, ms []float64
	for _, l := range r.Table() {
		ss, ms = append(ss, l.SS), append(ms, l.MS)
	}
	for _, l := range r.Table() {
		f, p := "—", "—"
		if !math.IsNaN(l.F) {
			f, p = strconv.FormatFloat(l.F, 'f', 2, 64), strconv.FormatFloat(l.P, 'f', 3, 64)
			if l.P < .0005 {
				p = "<0.001"
			}
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: qc.SourceText(l.Name)}, {Text: fmt.Sprint(l.DOF)}, {Text: fixedTo(l.SS, ss)}, {Text: fixedTo(l.MS, ms)}, {Text: f}, {Text: p}}})
	}
	return t
}

// fixedTo prints x with the decimals that give the last of its column, the repeats, four digits, and never
// more than eight.
func fixedTo(x float64, column []float64) string {
	places := 2
	if last := column[len(column)-1]; last > 0 {
		places = min(8, max(0, 3-int(math.Floor(math.Log10(last)))))
	}
	return strconv.FormatFloat(x, 'f', places, 64)
}

// studyReadings is the table behind the chart: a line for each rib and person, a column for each repeat, less
// the wanted value.
func studyReadings(w work, s qc.Study) *Table {
	g, _ := w.b.Gauge(s.Gauge)
	places := max(readPlaces(g.Resolution, 1), placesOf(s.Char.Nominal.Round(length.Micrometre, length.TieEven)))
	t := &Table{Caption: "Readings less the wanted " + exact(s.Char.Nominal) + " mm", Columns: []Column{{Head: "Rib"}, {Head: "Person"}}}
	for k := range s.Repeats {
		t.Columns = append(t.Columns, Column{Head: "Reading " + fmt.Sprint(k+1), Unit: "mm", Align: Number})
	}
	cells := map[[3]int]string{}
	for _, r := range s.Readings {
		if r.Counts() {
			st := s.Steps[r.Step]
			cells[[3]int{st.Rib, st.Person, st.Round}] = signed(r.Value-s.Char.Nominal, places)
		}
	}
	for i, rib := range s.Ribs {
		for j, person := range s.Persons {
			row := Row{Cells: []Cell{{Text: rib}, {Text: person}}}
			for k := range s.Repeats {
				row.Cells = append(row.Cells, Cell{Text: cells[[3]int{i, j, k + 1}]})
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

func withdrawn(w work, s qc.Study) *Table {
	t := &Table{Columns: []Column{{Head: "Record", Align: Number}, {Head: "Rib"}, {Head: "Person"}, {Head: "Value as received"}, {Head: "When"}, {Head: "Cause"}}}
	for _, r := range s.Readings {
		if r.Voided {
			t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(r.Seq)}, {Text: r.Rib}, {Text: s.Persons[s.Steps[r.Step].Person]},
				{Text: received(r.Measurement)}, {Text: stamp(r.At)}, {Text: given(r.VoidReason)}}})
		}
	}
	return t
}

// disagreeing lists values that count although they disagree with their repeats, each with its cause.
func disagreeing(w work) *Table {
	t := &Table{Columns: []Column{{Head: "Record", Align: Number}, {Head: "Rib"}, {Head: "Characteristic"}, {Head: "Value as received"}, {Head: "When"}, {Head: "Cause"}}}
	for _, r := range w.bent {
		for _, m := range r.Measurements {
			if m.Cause != "" && m.Counts() {
				t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(m.Seq)}, {Text: r.ID}, {Text: label(w, m.Char)},
					{Text: received(m)}, {Text: stamp(m.At)}, {Text: given(m.Cause)}}})
			}
		}
	}
	return t
}
