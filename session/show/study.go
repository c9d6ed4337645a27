package show

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"springline/qc"
	"springline/session/book"
)

// The states of a study as shown. Readings go to one that runs.
const (
	StudyRuns      = "running"
	studyRests     = "paused"
	studyComplete  = "complete"
	studyDone      = "finished"
	studyCancelled = "cancelled"
)

func (w renderer) newStudy(st *book.Study, g qc.Gauge) *StudyView {
	step, missing := st.Next()
	v := &StudyView{
		ID: st.ID, State: studyState(st.Study, missing), Version: st.Version, Char: string(st.Char.ID), Label: faceLabel(st.Char),
		Gauge: w.book.GaugeName(st.Gauge), GaugeID: st.Gauge, Unit: g.Unit, Signed: st.Char.Kind.Signed(),
		Ribs: st.Ribs, Persons: st.Persons, Repeats: st.Repeats, Done: st.Done(), Of: len(st.Steps), Reason: st.Cancel,
	}
	if st.Open() && missing {
		v.Step = w.studyStep(st, step)
	}
	if !missing && !(st.Cancel != "") {
		if r, err := st.Result(g); err == nil {
			v.Result = shownResult(r)
		}
		v.Readings = w.studyReadings(st)
	}
	v.Say = studySay(v)
	return v
}

func studyState(st qc.Study, missing bool) string {
	switch {
	case st.Finished:
		return studyDone
	case !st.Open():
		return studyCancelled
	case st.Paused:
		return studyRests
	case missing:
		return StudyRuns
	}
	return studyComplete
}

func studySay(v *StudyView) string {
	switch v.State {
	case StudyRuns:
		return "Readings go to the gauge study, not to a rib."
	case studyRests:
		return "The gauge study is paused. Readings go to the ribs."
	case studyComplete:
		return "All readings are taken. Readings wait until the study is finished."
	case studyDone:
		return "The study is finished: its repeatability counts in the uncertainty of " + v.Gauge + "."
	}
	return "The study was cancelled: " + v.Reason + "."
}

// faceLabel is the characteristic with the face that it is measured to.
func faceLabel(c qc.Characteristic) string {
	if c.Kind == qc.TipToTip || c.Kind == qc.CrownHeight {
		return c.Label() + ", " + string(c.Face)
	}
	return c.Label()
}

func (w renderer) studyStep(st *book.Study, step int) *StudyStepView {
	x := st.Steps[step]
	v := &StudyStepView{Step: step + 1, Rib: st.Ribs[x.Rib], Person: st.Persons[x.Person], Round: x.Round,
		Again: slices.ContainsFunc(st.Readings, func(r qc.StudyReading) bool { return r.Step == step })}
	v.Do = fmt.Sprintf("%s measures %s of rib %s with %s.", v.Person, faceLabel(st.Char), v.Rib, w.book.GaugeName(st.Gauge))
	return v
}

func shownResult(r qc.StudyResult) *StudyResultView {
	sd, dof := r.Repeatability()
	v := &StudyResultView{Word: string(r.Word), Verdict: r.Verdict, Help: r.Help, RepeatNM: int64(sd), RepeatDOF: dof,
		GaugeNM: int64(math.Ceil(r.SDGauge * 1e6)), GaugeMost: int64(math.Ceil(r.GaugeHigh * 1e6)),
		Tolerance: r.ShareOfTolerance, Categories: r.Categories}
	for _, l := range r.Lines() {
		v.Lines = append(v.Lines, StudyLine(l))
	}
	for _, l := range r.Table() {
		v.Table = append(v.Table, StudyRow{
			Source: qc.SourceText(l.Name), DOF: l.DOF, SS: digits4(l.SS), MS: digits4(l.MS), F: digits4(l.F), P: chance(l.P),
		})
	}
	return v
}

// digits4 is a number to four digits, empty where there is none.
func digits4(x float64) string {
	if math.IsNaN(x) {
		return ""
	}
	return strconv.FormatFloat(x, 'g', 4, 64)
}

func chance(p float64) string {
	if math.IsNaN(p) {
		return ""
	}
	if p < 0.001 {
		return "below 0.001"
	}
	return strconv.FormatFloat(p, 'f', 3, 64)
}

// studyReadings lists the readings by rib, person and round.
func (w renderer) studyReadings(st *book.Study) []StudyReadingView {
	g, _ := w.book.Gauge(st.Gauge)
	list := make([]StudyReadingView, 0, len(st.Readings))
	sorted := slices.Clone(st.Readings)
	slices.SortStableFunc(sorted, func(a, b qc.StudyReading) int {
		x, y := st.Steps[a.Step], st.Steps[b.Step]
		return (x.Rib-y.Rib)*10000 + (x.Person-y.Person)*100 + x.Round - y.Round
	})
	for _, r := range sorted {
		x := st.Steps[r.Step]
		list = append(list, StudyReadingView{
			Seq: r.Seq, Step: r.Step + 1, Rib: r.Rib, Person: st.Persons[x.Person], Round: x.Round, Value: in(r.Value, g), Voided: r.VoidReason,
		})
	}
	return list
}

// studyOffer is what a study could be made of; nil while one is open or nothing is measured.
func (w renderer) studyOffer() *StudyOffer {
	o := w.o
	if !o.Closed.IsZero() || w.book.OpenStudy() != nil || len(o.Ribs) == 0 {
		return nil
	}
	f := &StudyOffer{Chars: []StudyChar{}, LeastRibs: qc.MinStudyRibs, MostRibs: qc.MaxStudyRibs, Most: qc.MaxStudyPersons,
		LeastReads: qc.MinStudyRepeats, MostReads: qc.MaxStudyRepeats, LeastDOF: qc.MinStudyDOF}
	for _, r := range o.Ribs {
		f.Ribs = append(f.Ribs, r.ID)
	}
	for _, c := range o.Target.Round {
		sc := StudyChar{Char: string(c.ID), Label: faceLabel(c)}
		for _, g := range w.book.Gauges {
			if g.Covers(c.Kind) {
				sc.Gauges = append(sc.Gauges, StudyGauge{g.ID, w.book.GaugeName(g.ID)})
			}
		}
		if len(sc.Gauges) > 0 {
			f.Chars = append(f.Chars, sc)
		}
	}
	return f
}
