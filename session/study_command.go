package session

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strings"

	"springline/qc"
)

// studyStart lays a gauge study out on ribs of the open batch.
func (b *Bench) studyStart(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if st := b.state.openStudy(); st != nil {
		return event{}, problem(CodeExists, "study", "finish it or cancel it first", "gauge study %q is open", st.ID)
	}
	if c.Char == "" {
		return event{}, problem(CodeMissing, "char", "name the characteristic to be studied", "a gauge study measures one characteristic")
	}
	ch, ok := o.target.Characteristic(qc.CharID(c.Char))
	if !ok {
		return event{}, problem(CodeUnknown, "char", "name one of its round", "target %q has no characteristic %q", o.target.Name, c.Char)
	}
	g, err := b.gaugeFor(c, ch)
	if err != nil {
		return event{}, err
	}
	ribs, persons := namesIn(c.Ribs), namesIn(c.Persons)
	for _, id := range ribs {
		if o.rib(id) == nil {
			return event{}, problem(CodeUnknown, "ribs", "name ribs that have been started", "batch %q has no rib %q", o.body.ID, id)
		}
	}
	for _, p := range persons {
		if err := checkText("persons", p, maxName); err != nil {
			return event{}, err
		}
	}
	repeats := int(min(max(c.Repeats, 0), 1000))
	if err := qc.CheckStudyShape(ribs, persons, repeats); err != nil {
		e := problem(CodeBadValue, "", "", "%v", err)
		var shape *qc.StudyShapeError
		if errors.As(err, &shape) {
			e = problem(e.Code, shape.Field, shape.Do, "%s", shape.Message)
		}
		e.Err = err
		return event{}, e
	}
	head := b.state.head
	seed := binary.BigEndian.Uint64(head[:8])
	body := StudyStartedBody{
		Study: fmt.Sprintf("study-%d", 1+b.state.studies()), Batch: o.body.ID, Char: string(ch.ID), Gauge: g.ID,
		Ribs: ribs, Persons: persons, Repeats: repeats, Seed: fmt.Sprintf("%016x", seed), By: c.By, Key: c.Key,
	}
	for _, st := range qc.BlindSteps(len(ribs), len(persons), repeats, seed) {
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

// namesIn takes a list apart at commas and semicolons.
func namesIn(list string) []string {
	names := []string{}
	for _, n := range strings.FieldsFunc(list, func(r rune) bool { return r == ',' || r == ';' }) {
		if n = strings.TrimSpace(n); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// studyFor is the open study, at the version that the command was decided on.
func (b *Bench) studyFor(c Command) (*study, error) {
	if _, err := b.openBatch(); err != nil {
		return nil, err
	}
	st := b.state.openStudy()
	if st == nil {
		return nil, problem(CodeNoStudy, "study", "start one", "no gauge study is open on bench %q", b.cfg.Bench)
	}
	if c.Version != 0 && c.Version != st.version {
		e := problem(CodeConflict, "version", "look at the step that is shown now and decide again",
			"gauge study %q has moved on: this was decided at record %d and the study is at record %d", st.ID, c.Version, st.version)
		e.Yours, e.Now = c.Version, st.version
		return nil, e
	}
	return st, nil
}

func (b *Bench) studyPause(c Command) (event, error) {
	st, err := b.studyFor(c)
	if err != nil {
		return event{}, err
	}
	if st.Paused {
		return event{}, problem(CodeSettled, "study", "", "gauge study %q is paused already", st.ID)
	}
	return event{StudyPaused, StudyTurnBody{Study: st.ID, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) studyResume(c Command) (event, error) {
	st, err := b.studyFor(c)
	if err != nil {
		return event{}, err
	}
	if !st.Paused {
		return event{}, problem(CodeSettled, "study", "", "gauge study %q is not paused", st.ID)
	}
	return event{StudyResumed, StudyTurnBody{Study: st.ID, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) studyCancel(c Command) (event, error) {
	st, err := b.studyFor(c)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "cancelling a gauge study"); err != nil {
		return event{}, err
	}
	if err := b.noStudyValueWaits(st); err != nil {
		return event{}, err
	}
	return event{StudyCancelled, StudyTurnBody{Study: st.ID, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) studyFinish(c Command) (event, error) {
	st, err := b.studyFor(c)
	if err != nil {
		return event{}, err
	}
	if err := b.noStudyValueWaits(st); err != nil {
		return event{}, err
	}
	if _, missing := st.Next(); missing {
		return event{}, problem(CodeIncomplete, "study", "take the readings that are missing; one that was withdrawn is taken again",
			"gauge study %q has %d of its %d readings", st.ID, st.Done(), len(st.Steps))
	}
	g, _ := b.state.gauge(st.Gauge)
	r, err := st.Result(g)
	if err != nil {
		return event{}, refused("study", err)
	}
	sd, dof := r.Repeatability()
	return event{StudyFinished, StudyFinishedBody{Study: st.ID, RepeatNM: int64(sd), RepeatDOF: dof, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) noStudyValueWaits(st *study) error {
	for _, h := range b.state.batch.held {
		if !h.settled && h.Study == st.ID {
			return problem(CodeHeld, "held", "take it or throw it out first", "value %d of gauge study %q waits for an answer", h.seq, st.ID)
		}
	}
	return nil
}

// typedForStudy takes a value that a person typed while a study runs: as of a gauge, for its step.
func (b *Bench) typedForStudy(c Command, st *study, step int) (event, error) {
	if c.Rib != "" || c.Char != "" {
		return event{}, problem(CodeStudyRuns, "rib", "pause the study to measure ribs", "gauge study %q runs: values go to it", st.ID)
	}
	if step < 0 {
		return event{}, problem(CodeComplete, "study", "finish the study or cancel it, then measure ribs", "gauge study %q has all its readings", st.ID)
	}
	if _, err := b.studyFor(c); err != nil {
		return event{}, err
	}
	g, ok := b.state.gauge(st.Gauge)
	if !ok || c.Gauge != "" && c.Gauge != st.Gauge {
		return event{}, problem(CodeBadValue, "gauge", "use the gauge of the study, or cancel it", "gauge study %q is made with gauge %q", st.ID, st.Gauge)
	}
	e, err := readTyped(c.Text, g, st.Char.Kind.Signed())
	if err != nil {
		return event{}, badText("text", c.Text, st.Char.Label()+" of rib "+st.Ribs[st.Steps[step].Rib], err)
	}
	rd := ReadingBody{Gauge: g.ID, Entry: string(qc.Typed), Text: c.Text, Unit: g.Unit, ValueNM: int64(e.Length), By: c.By}
	if q, doubt := b.state.studyDoubt(st, step, rd, b.now()); doubt {
		h := st.held(rd, step, q)
		h.Key = c.Key
		return event{Held, h}, nil
	}
	return event{StudyMeasured, StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: step + 1, Key: c.Key}}, nil
}

// takeForStudy takes a held value for the step that it was measured for.
func (b *Bench) takeForStudy(c Command, h *heldValue) (event, error) {
	st := b.state.openStudy()
	if st == nil || st.ID != h.Study {
		return event{}, problem(CodeSettled, "seq", "throw it out", "held value %d is of gauge study %q, which has ended", c.Seq, h.Study)
	}
	if _, there := st.Counted(h.Step - 1); there {
		return event{}, problem(CodeComplete, "seq", "throw it out", "step %d of gauge study %q has a reading already", h.Step, st.ID)
	}
	rd, err := h.taken(c)
	if err != nil {
		return event{}, err
	}
	if rd.ValueNM <= 0 && !st.Char.Kind.Signed() {
		return event{}, problem(CodeBadValue, "seq", "throw it out and measure again", "%s cannot be %s mm", st.Char.Label(), nm(rd.ValueNM))
	}
	return event{StudyMeasured, StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: h.Step, FromHeld: c.Seq, Key: c.Key}}, nil
}

// undoInStudy withdraws the last reading of the study that runs.
func undoInStudy(c Command, st *study) (event, error) {
	for _, r := range slices.Backward(st.Readings) {
		if r.Counts() {
			reason := c.Reason
			if reason == "" {
				reason = "undone"
			}
			return event{Voided, VoidedBody{Seq: r.Seq, Reason: reason, Undo: true, By: c.By, Key: c.Key}}, nil
		}
	}
	return event{}, problem(CodeSettled, "study", "to undo a rib's value, pause the study first", "gauge study %q has no reading to undo", st.ID)
}

// voidInStudy withdraws a reading of a study with a written cause.
func (b *Bench) voidInStudy(c Command, st *study, i int) (event, error) {
	r := st.Readings[i]
	switch {
	case !st.Open():
		return event{}, problem(CodeSettled, "seq", "make a new study", "gauge study %q has ended; its readings stay as they were", st.ID)
	case !r.Counts():
		return event{}, problem(CodeSettled, "seq", "", "reading %d of gauge study %q does not count any more", c.Seq, st.ID)
	case c.Version != 0 && c.Version != st.version:
		_, err := b.studyFor(c)
		return event{}, err
	}
	return event{Voided, VoidedBody{Seq: c.Seq, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}
