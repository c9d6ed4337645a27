package show

import (
	"slices"

	"springline/qc/length"
	"springline/session/book"
	"springline/session/derive"
)

// LastShown is what was shown last of ribs and of a study: most records change little of it. It belongs to
// whoever makes the views.
type LastShown struct {
	lines   map[string]*ribLine // by rib
	study   *StudyView
	studyAs studyShown
}

// ribLine is what is shown of a judged rib: its line of the batch table and, once asked for, its steps.
type ribLine struct {
	of    *derive.Judged
	view  RibView
	steps []StepView
}

// studyShown is what the view of a study depends on: its readings move its version.
type studyShown struct {
	batch, study string
	version      int64
	gauge, unit  string
	resolution   length.Length
}

// line is what is shown of a rib, made anew where it was judged anew.
func (w renderer) line(r *book.Rib, j *derive.Judged) *ribLine {
	if w.kept.lines == nil {
		w.kept.lines = map[string]*ribLine{}
	}
	l := w.kept.lines[r.ID]
	if l == nil || l.of != j {
		l = &ribLine{of: j, view: shownRib(w.o, r, j.Verdict)}
		w.kept.lines[r.ID] = l
	}
	return l
}

// steps are the steps of a rib of which none is the one to measure yet.
func (w renderer) steps(r *book.Rib, l *ribLine) []StepView {
	if l.steps == nil {
		for _, c := range w.o.Target.Round {
			j, _ := l.of.Verdict.Of(c.ID)
			l.steps = append(l.steps, w.step(r, c, j))
		}
	}
	return slices.Clone(l.steps)
}

// study shows the batch's open study, else the one that ended last.
func (w renderer) study() *StudyView {
	o := w.o
	if len(o.Studies) == 0 {
		return nil
	}
	st := o.Studies[len(o.Studies)-1]
	g, _ := w.book.Gauge(st.Gauge)
	as := studyShown{o.Body.ID, st.ID, st.Version, w.book.GaugeName(st.Gauge), g.Unit, g.Resolution}
	if w.kept.study == nil || w.kept.studyAs != as {
		w.kept.study, w.kept.studyAs = w.newStudy(st, g), as
	}
	return w.kept.study
}
