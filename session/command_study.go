package session

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// StartStudy lays a gauge study out.
type StartStudy struct {
	Char    string   `json:"char" most:"120" doc:"the characteristic"`
	Gauge   string   `json:"gauge" need:"no" most:"120" doc:"the gauge; one that is bound to it when left out"`
	Ribs    []string `json:"ribs" most:"120" doc:"the ribs"`
	Persons []string `json:"persons" most:"120" doc:"who measures"`
	Repeats int64    `json:"repeats" least:"0" doc:"readings of each rib by each person"`
}

func (StartStudy) op() Op { return "study-start" }

// studyStart lays a gauge study out on ribs of the open batch.
func startStudy(d *Desk, s Sent, c StartStudy) (event, error) {
	o, err := d.openBatch()
	if err != nil {
		return event{}, err
	}
	if st := d.Book.openStudy(); st != nil {
		return event{}, words.Problem(words.CodeExists, "study", "finish it or cancel it first", "gauge study %q is open", st.ID)
	}
	if c.Char == "" {
		return event{}, words.Problem(words.CodeMissing, "char", "name the characteristic to be studied",
			"a gauge study measures one characteristic")
	}
	ch, ok := o.target.Characteristic(qc.CharID(c.Char))
	if !ok {
		return event{}, words.Problem(words.CodeUnknown, "char", "name one of its round",
			"target %q has no characteristic %q", o.target.Name, c.Char)
	}
	g, err := d.gaugeFor(c.Gauge, ch)
	if err != nil {
		return event{}, err
	}
	for _, id := range c.Ribs {
		if o.rib(id) == nil {
			return event{}, words.Problem(words.CodeUnknown, "ribs", "name ribs that have been started", "batch %q has no rib %q", o.body.ID, id)
		}
	}
	repeats := int(min(max(c.Repeats, 0), 1000))
	if err := qc.CheckStudyShape(c.Ribs, c.Persons, repeats); err != nil {
		e := words.Problem(words.CodeBadValue, "", "", "%v", err)
		var shape *qc.StudyShapeError
		if errors.As(err, &shape) {
			e = words.Problem(e.Code, shape.Field, shape.Do, "%s", shape.Message)
		}
		e.Err = err
		return event{}, e
	}
	head := d.Book.head
	seed := binary.BigEndian.Uint64(head[:8])
	body := StudyStartedBody{
		Study: fmt.Sprintf("study-%d", 1+d.Book.studies()), Batch: o.body.ID, Char: string(ch.ID), Gauge: g.ID,
		Ribs: c.Ribs, Persons: c.Persons, Repeats: repeats, Seed: fmt.Sprintf("%016x", seed), By: s.By, Keyed: s.keyed(),
	}
	for _, st := range qc.BlindSteps(len(c.Ribs), len(c.Persons), repeats, seed) {
		body.Steps = append(body.Steps, StudyStepBody(st))
	}
	return event{StudyStarted, body}, nil
}

// studies counts the studies on record, so that each has a name of its own.
func (s *state) studies() int {
	n := 0
	for _, b := range s.batches {
		n += len(b.studies)
	}
	return n
}

// studyFor is the open study, at the version that the command was decided on.
func (d *Desk) studyFor(s Sent) (*study, error) {
	if _, err := d.openBatch(); err != nil {
		return nil, err
	}
	st := d.Book.openStudy()
	if st == nil {
		return nil, words.Problem(words.CodeNoStudy, "study", "start one", "no gauge study is open on bench %q", d.Bench)
	}
	if s.Version != 0 && s.Version != st.version {
		e := words.Problem(words.CodeConflict, "version", "look at the step that is shown now and decide again",
			"gauge study %q has moved on: this was decided at record %d and the study is at record %d", st.ID, s.Version, st.version)
		e.Yours, e.Now = s.Version, st.version
		return nil, e
	}
	return st, nil
}

// PauseStudy lets the study rest: readings go to the ribs.
type PauseStudy struct {
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (PauseStudy) op() Op { return "study-pause" }

func pauseStudy(d *Desk, s Sent, c PauseStudy) (event, error) {
	st, err := d.studyFor(s)
	if err != nil {
		return event{}, err
	}
	if st.Paused {
		return event{}, words.Problem(words.CodeSettled, "study", "", "gauge study %q is paused already", st.ID)
	}
	return event{StudyPaused, StudyTurnBody{Study: st.ID, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}

// ResumeStudy goes on where the study stood.
type ResumeStudy struct{}

func (ResumeStudy) op() Op { return "study-resume" }

func resumeStudy(d *Desk, s Sent, c ResumeStudy) (event, error) {
	st, err := d.studyFor(s)
	if err != nil {
		return event{}, err
	}
	if !st.Paused {
		return event{}, words.Problem(words.CodeSettled, "study", "", "gauge study %q is not paused", st.ID)
	}
	return event{StudyResumed, StudyTurnBody{Study: st.ID, By: s.By, Keyed: s.keyed()}}, nil
}

// CancelStudy ends the study without a result.
type CancelStudy struct {
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (CancelStudy) op() Op { return "study-cancel" }

func cancelStudy(d *Desk, s Sent, c CancelStudy) (event, error) {
	st, err := d.studyFor(s)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c.Reason, "cancelling a gauge study"); err != nil {
		return event{}, err
	}
	if err := d.noStudyValueWaits(st); err != nil {
		return event{}, err
	}
	return event{StudyCancelled, StudyTurnBody{Study: st.ID, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}

// FinishStudy ends the study: its result counts in the gauge's budget from then on.
type FinishStudy struct{}

func (FinishStudy) op() Op { return "study-finish" }

func finishStudy(d *Desk, s Sent, c FinishStudy) (event, error) {
	st, err := d.studyFor(s)
	if err != nil {
		return event{}, err
	}
	if err := d.noStudyValueWaits(st); err != nil {
		return event{}, err
	}
	if _, missing := st.Next(); missing {
		return event{}, words.Problem(words.CodeIncomplete, "study", "take the readings that are missing; one that was withdrawn is taken again",
			"gauge study %q has %d of its %d readings", st.ID, st.Done(), len(st.Steps))
	}
	g, _ := d.Book.gauge(st.Gauge)
	r, err := st.Result(g)
	if err != nil {
		return event{}, words.Refused("study", err)
	}
	sd, dof := r.Repeatability()
	return event{StudyFinished, StudyFinishedBody{Study: st.ID, RepeatNM: int64(sd), RepeatDOF: dof, By: s.By, Keyed: s.keyed()}}, nil
}

func (d *Desk) noStudyValueWaits(st *study) error {
	for _, h := range d.Book.batch.held {
		if !h.settled && h.Study == st.ID {
			return words.Problem(words.CodeHeld, "held", "take it or throw it out first",
				"value %d of gauge study %q waits for an answer", h.seq, st.ID)
		}
	}
	return nil
}

// typedForStudy takes a value that a person typed while a study runs: as of a gauge, for its step.
func (d *Desk) typedForStudy(s Sent, c Type, st *study, step int) (event, error) {
	if c.Rib != "" || c.Char != "" {
		return event{}, words.Problem(words.CodeStudyRuns, "rib", "pause the study to measure ribs",
			"gauge study %q runs: values go to it", st.ID)
	}
	if step < 0 {
		return event{}, words.Problem(words.CodeComplete, "study", "finish the study or cancel it, then measure ribs",
			"gauge study %q has all its readings", st.ID)
	}
	if _, err := d.studyFor(s); err != nil {
		return event{}, err
	}
	g, ok := d.Book.gauge(st.Gauge)
	if !ok || c.Gauge != "" && c.Gauge != st.Gauge {
		return event{}, words.Problem(words.CodeBadValue, "gauge", "use the gauge of the study, or cancel it",
			"gauge study %q is made with gauge %q", st.ID, st.Gauge)
	}
	e, err := readTyped(c.Text, g, st.Char.Kind.Signed())
	if err != nil {
		return event{}, badText("text", c.Text, st.Char.Label()+" of rib "+st.Ribs[st.Steps[step].Rib], err)
	}
	rd := ReadingBody{Gauge: g.ID, Entry: string(qc.Typed), Text: c.Text, Unit: g.Unit, ValueNM: int64(e.Length), By: s.By}
	if q, asks := d.Book.studyDoubt(st, step, rd, d.Now()); asks {
		h := studyHeld(st, rd, step, q)
		h.Keyed = s.keyed()
		return event{Held, h}, nil
	}
	return event{StudyMeasured, StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: step + 1, Keyed: s.keyed()}}, nil
}

// takeForStudy takes a held value for the step that it was measured for.
func (d *Desk) takeForStudy(s Sent, c Take, h *heldValue) (event, error) {
	st := d.Book.openStudy()
	if st == nil || st.ID != h.Study {
		return event{}, words.Problem(words.CodeSettled, "seq", "throw it out",
			"held value %d is of gauge study %q, which has ended", c.Seq, h.Study)
	}
	if _, there := st.Counted(h.Step - 1); there {
		return event{}, words.Problem(words.CodeComplete, "seq", "throw it out", "step %d of gauge study %q has a reading already", h.Step, st.ID)
	}
	rd, err := taken(h, s, c)
	if err != nil {
		return event{}, err
	}
	if rd.ValueNM <= 0 && !st.Char.Kind.Signed() {
		return event{}, words.Problem(words.CodeBadValue, "seq", "throw it out and measure again",
			"%s cannot be %s mm", st.Char.Label(), length.Length(rd.ValueNM))
	}
	return event{StudyMeasured, StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: h.Step, FromHeld: c.Seq, Keyed: s.keyed()}}, nil
}

// undoInStudy withdraws the last reading of the study that runs.
func undoInStudy(s Sent, c Undo, st *study) (event, error) {
	for _, r := range slices.Backward(st.Readings) {
		if r.Counts() {
			reason := c.Reason
			if reason == "" {
				reason = "undone"
			}
			return event{Voided, VoidedBody{Seq: r.Seq, Reason: reason, Undo: true, By: s.By, Keyed: s.keyed()}}, nil
		}
	}
	return event{}, words.Problem(words.CodeSettled, "study", "to undo a rib's value, pause the study first",
		"gauge study %q has no reading to undo", st.ID)
}

// voidInStudy withdraws a reading of a study with a written cause.
func (d *Desk) voidInStudy(s Sent, c Void, st *study, i int) (event, error) {
	r := st.Readings[i]
	switch {
	case !st.Open():
		return event{}, words.Problem(words.CodeSettled, "seq", "make a new study",
			"gauge study %q has ended; its readings stay as they were", st.ID)
	case !r.Counts():
		return event{}, words.Problem(words.CodeSettled, "seq", "", "reading %d of gauge study %q does not count any more", c.Seq, st.ID)
	case s.Version != 0 && s.Version != st.version:
		_, err := d.studyFor(s)
		return event{}, err
	}
	return event{Voided, VoidedBody{Seq: c.Seq, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}
