package reports

import (
	"fmt"

	"springline/qc"
	"springline/reports/data"
	"springline/reports/section"
	"springline/reports/typeset"
)

// Model is a report ready to be written: the sheet for people, the document for programs.
type Model struct {
	typeset.Sheet
	Document data.Document
}

// New builds the report of a batch in the name of a program. It fails when a rib cannot be judged, which is when
// a measurement names a gauge that is not in the batch, when a finished gauge study has no result, and when the
// batch has no target.
func New(b qc.Batch, software string) (Model, error) {
	return build(b, software, func(j qc.Judged, f qc.Findings) (typeset.Sheet, error) {
		id := section.ReportID(b)
		s := typeset.Sheet{ID: id, Title: section.Title("Batch report", b)}
		add := func(sections ...typeset.Section) { s.Sections = append(s.Sections, sections...) }
		add(section.Heading(j, id, software), section.Result(j), section.Target(j), section.Gauges(j), section.Decision(b))
		add(section.Proofs(f.Proofs)...)
		add(section.Ribs(j))
		add(section.Charts(j)...)
		add(section.Drift(f)...)
		add(section.Capability(f.Fits)...)
		for _, x := range f.Studies {
			if x.Err != nil {
				return s, x.Err
			}
			add(section.Study(section.StudyTitle(b, x.Study), x))
		}
		add(section.Cancelled(b)...)
		add(section.Pairs(j), section.Values(j), section.Cautions())
		code, err := section.Record(b)
		add(code, section.Signatures(j))
		return s, err
	})
}

// NewStudy builds the report on one gauge study of a batch, the latest finished one for an empty id: what was
// measured with what by whom, the result, the chart, and every reading with those that were withdrawn.
func NewStudy(b qc.Batch, id, software string) (Model, error) {
	named, err := finished(b, id)
	if err != nil {
		return Model{}, err
	}
	return build(b, software, func(_ qc.Judged, f qc.Findings) (typeset.Sheet, error) {
		var x qc.StudyFound
		for _, s := range f.Studies {
			if s.ID == named {
				x = s
			}
		}
		if x.Err != nil {
			return typeset.Sheet{}, x.Err
		}
		code, err := section.Record(b)
		return typeset.Sheet{ID: section.ReportID(b) + "/" + x.ID, Title: section.StudyTitle(b, x.Study), Sections: []typeset.Section{
			section.StudyHeading(b, x.Study), section.Study("The result", x), section.Cautions(), code, section.StudySignatures(b),
		}}, err
	})
}

// finished is the name of a finished study, the latest for an empty id.
func finished(b qc.Batch, id string) (string, error) {
	found := ""
	for _, s := range b.Studies {
		if s.Finished && (id == "" || s.ID == id) {
			found = s.ID
		}
	}
	switch {
	case found == "" && id == "":
		return "", fmt.Errorf("report on a gauge study of batch %q: none is finished; take its readings and finish it first", b.ID)
	case found == "":
		return "", fmt.Errorf("report on gauge study %q of batch %q: there is no finished one of that name", id, b.ID)
	}
	return found, nil
}

// build judges the batch once and has what comes of it worded.
func build(b qc.Batch, software string, word func(qc.Judged, qc.Findings) (typeset.Sheet, error)) (Model, error) {
	if err := hasTarget(b); err != nil {
		return Model{}, err
	}
	j, err := b.Judged()
	if err != nil {
		return Model{}, fmt.Errorf("report on batch %q: %w", b.ID, err)
	}
	f := b.Findings()
	s, err := word(j, f)
	if err != nil {
		return Model{}, fmt.Errorf("report on batch %q: %w", b.ID, err)
	}
	s.Software, s.Running, s.Foot = software, section.Running(b), section.Foot(b, software)
	return Model{Sheet: s, Document: data.New(j, f, s.ID, software)}, nil
}

// NewBlank builds the batch's sheet empty, for when the computer is dead: a line for every rib planned and a
// place for every number, in the order of the round. It fails when the batch has no target.
func NewBlank(b qc.Batch, software string) (typeset.Sheet, error) {
	if err := hasTarget(b); err != nil {
		return typeset.Sheet{}, err
	}
	b.Planned = max(b.Planned, len(b.Ribs))
	return typeset.Sheet{ID: b.ID, Title: section.Title("Measuring sheet", b), Software: software,
		Running: section.BlankRunning(b), Foot: []string{software},
		Sections: append(section.Blank(b), section.Decision(b), section.Cautions(), section.BlankSignatures(b))}, nil
}

func hasTarget(b qc.Batch) error {
	if len(b.Target.Round) == 0 {
		return fmt.Errorf("report on batch %q: the target has no characteristics; open the batch with a target", b.ID)
	}
	return nil
}
