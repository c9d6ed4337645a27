package command

import (
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/doubt"
	"springline/session/log"
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

func startStudy(d *Desk, o *book.Batch, s Sent, c StartStudy) (any, error) {
	if st := d.Book.OpenStudy(); st != nil {
		return nil, words.Problem(words.CodeExists, "study", "finish it or cancel it first", "gauge study %q is open", st.ID)
	}
	if c.Char == "" {
		return nil, words.Problem(words.CodeMissing, "char", "name the characteristic to be studied",
			"a gauge study measures one characteristic")
	}
	ch, ok := o.Target.Characteristic(qc.CharID(c.Char))
	if !ok {
		return nil, words.Problem(words.CodeUnknown, "char", "name one of its round",
			"target %q has no characteristic %q", o.Target.Name, c.Char)
	}
	g, err := d.gaugeFor(c.Gauge, ch)
	if err != nil {
		return nil, err
	}
	for _, id := range c.Ribs {
		if o.Rib(id) == nil {
			return nil, words.Problem(words.CodeUnknown, "ribs", "name ribs that have been started", "batch %q has no rib %q", o.Body.ID, id)
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
		return nil, e
	}
	head := d.Book.Head
	seed := binary.BigEndian.Uint64(head[:8])
	body := log.StudyStartedBody{
		Study: fmt.Sprintf("study-%d", 1+d.Book.Studies()), Batch: o.Body.ID, Char: string(ch.ID), Gauge: g.ID,
		Ribs: c.Ribs, Persons: c.Persons, Repeats: repeats, Seed: fmt.Sprintf("%016x", seed), By: s.By, Keyed: s.keyed(),
	}
	for _, st := range qc.BlindSteps(len(c.Ribs), len(c.Persons), repeats, seed) {
		body.Steps = append(body.Steps, log.StudyStepBody(st))
	}
	return body, nil
}

// studyFor is the open study, at the version that the command was decided on.
func (d *Desk) studyFor(s Sent) (*book.Study, error) {
	if _, err := d.openBatch(); err != nil {
		return nil, err
	}
	st := d.Book.OpenStudy()
	if st == nil {
		return nil, words.Problem(words.CodeNoStudy, "study", "start one", "no gauge study is open on bench %q", d.Bench)
	}
	if s.Version != 0 && s.Version != st.Version {
		e := words.Problem(words.CodeConflict, "version", "look at the step that is shown now and decide again",
			"gauge study %q has moved on: this was decided at record %d and the study is at record %d", st.ID, s.Version, st.Version)
		e.Yours, e.Now = s.Version, st.Version
		return nil, e
	}
	return st, nil
}

// PauseStudy lets the study rest: readings go to the ribs.
type PauseStudy struct {
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (PauseStudy) op() Op { return "study-pause" }

func pauseStudy(d *Desk, st *book.Study, s Sent, c PauseStudy) (any, error) {
	if st.Paused {
		return nil, words.Problem(words.CodeSettled, "study", "", "gauge study %q is paused already", st.ID)
	}
	return log.StudyTurnBody{Study: st.ID, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

// ResumeStudy goes on where the study stood.
type ResumeStudy struct{}

func (ResumeStudy) op() Op { return "study-resume" }

func resumeStudy(d *Desk, st *book.Study, s Sent, c ResumeStudy) (any, error) {
	if !st.Paused {
		return nil, words.Problem(words.CodeSettled, "study", "", "gauge study %q is not paused", st.ID)
	}
	return log.StudyTurnBody{Study: st.ID, By: s.By, Keyed: s.keyed()}, nil
}

// CancelStudy ends the study without a result.
type CancelStudy struct {
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (CancelStudy) op() Op { return "study-cancel" }

func cancelStudy(d *Desk, st *book.Study, s Sent, c CancelStudy) (any, error) {
	if err := needReason(c.Reason, "cancelling a gauge study"); err != nil {
		return nil, err
	}
	if err := d.noStudyValueWaits(st); err != nil {
		return nil, err
	}
	return log.StudyTurnBody{Study: st.ID, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

// FinishStudy ends the study: its result counts in the gauge's budget from then on.
type FinishStudy struct{}

func (FinishStudy) op() Op { return "study-finish" }

func finishStudy(d *Desk, st *book.Study, s Sent, c FinishStudy) (any, error) {
	if err := d.noStudyValueWaits(st); err != nil {
		return nil, err
	}
	if _, missing := st.Next(); missing {
		return nil, words.Problem(words.CodeIncomplete, "study", "take the readings that are missing; one that was withdrawn is taken again",
			"gauge study %q has %d of its %d readings", st.ID, st.Done(), len(st.Steps))
	}
	g, _ := d.Book.Gauge(st.Gauge)
	r, err := st.Result(g)
	if err != nil {
		return nil, words.Refused("study", err)
	}
	sd, dof := r.Repeatability()
	return log.StudyFinishedBody{Study: st.ID, RepeatNM: int64(sd), RepeatDOF: dof, By: s.By, Keyed: s.keyed()}, nil
}

func (d *Desk) noStudyValueWaits(st *book.Study) error {
	for _, h := range d.Book.Batch.Held {
		if !h.Settled && h.Study == st.ID {
			return words.Problem(words.CodeHeld, "held", "take it or throw it out first",
				"value %d of gauge study %q waits for an answer", h.Seq, st.ID)
		}
	}
	return nil
}

// typedForStudy takes a value that a person typed while a study runs: as of a gauge, for its step.
func (d *Desk) typedForStudy(s Sent, c Type, st *book.Study, step int) (any, error) {
	if c.Rib != "" || c.Char != "" {
		return nil, words.Problem(words.CodeStudyRuns, "rib", "pause the study to measure ribs",
			"gauge study %q runs: values go to it", st.ID)
	}
	if step < 0 {
		return nil, words.Problem(words.CodeComplete, "study", "finish the study or cancel it, then measure ribs",
			"gauge study %q has all its readings", st.ID)
	}
	if _, err := d.studyFor(s); err != nil {
		return nil, err
	}
	g, ok := d.Book.Gauge(st.Gauge)
	if !ok || c.Gauge != "" && c.Gauge != st.Gauge {
		return nil, words.Problem(words.CodeBadValue, "gauge", "use the gauge of the study, or cancel it",
			"gauge study %q is made with gauge %q", st.ID, st.Gauge)
	}
	e, err := readTyped(c.Text, g, st.Char.Kind.Signed())
	if err != nil {
		return nil, badText("text", c.Text, st.Char.Label()+" of rib "+st.Ribs[st.Steps[step].Rib], err)
	}
	rd := log.ReadingBody{Gauge: g.ID, Entry: string(qc.Typed), Text: c.Text, Unit: g.Unit, ValueNM: int64(e.Length), By: s.By}
	if q, asks := doubt.OfStudy(d.Book, st, step, rd, d.Now()); asks {
		h := doubt.HeldInStudy(st, rd, step, q)
		h.Keyed = s.keyed()
		return h, nil
	}
	return log.StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: step + 1, Keyed: s.keyed()}, nil
}

// takeForStudy takes a held value for the step that it was measured for.
func (d *Desk) takeForStudy(s Sent, c Take, h *book.Held) (any, error) {
	st := d.Book.OpenStudy()
	if st == nil || st.ID != h.Study {
		return nil, words.Problem(words.CodeSettled, "seq", "throw it out",
			"held value %d is of gauge study %q, which has ended", c.Seq, h.Study)
	}
	if _, there := st.Counted(h.Step - 1); there {
		return nil, words.Problem(words.CodeComplete, "seq", "throw it out", "step %d of gauge study %q has a reading already", h.Step, st.ID)
	}
	rd, err := taken(h, s, c)
	if err != nil {
		return nil, err
	}
	if rd.ValueNM <= 0 && !st.Char.Kind.Signed() {
		return nil, words.Problem(words.CodeBadValue, "seq", "throw it out and measure again",
			"%s cannot be %s mm", st.Char.Label(), length.Length(rd.ValueNM))
	}
	return log.StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: h.Step, FromHeld: c.Seq, Keyed: s.keyed()}, nil
}

// undoInStudy withdraws the last reading of the study that runs.
func undoInStudy(s Sent, c Undo, st *book.Study) (any, error) {
	for _, r := range slices.Backward(st.Readings) {
		if r.Counts() {
			return log.VoidedBody{Seq: r.Seq, Reason: cmp.Or(c.Reason, undone), Undo: true, By: s.By, Keyed: s.keyed()}, nil
		}
	}
	return nil, words.Problem(words.CodeSettled, "study", "to undo a rib's value, pause the study first",
		"gauge study %q has no reading to undo", st.ID)
}

// voidInStudy withdraws a reading of a study with a written cause.
func (d *Desk) voidInStudy(s Sent, c Void, st *book.Study, i int) (any, error) {
	r := st.Readings[i]
	switch {
	case !st.Open():
		return nil, words.Problem(words.CodeSettled, "seq", "make a new study",
			"gauge study %q has ended; its readings stay as they were", st.ID)
	case !r.Counts():
		return nil, words.Problem(words.CodeSettled, "seq", "", "reading %d of gauge study %q does not count any more", c.Seq, st.ID)
	case s.Version != 0 && s.Version != st.Version:
		_, err := d.studyFor(s)
		return nil, err
	}
	return log.VoidedBody{Seq: c.Seq, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}
