package book

import (
	"fmt"
	"slices"
	"strconv"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Study is a gauge study with the number of its last record.
type Study struct {
	qc.Study
	Version int64
}

// OpenStudy is the study of the open batch that is neither finished nor cancelled, nil when there is none.
func (s *Book) OpenStudy() *Study {
	b := s.Open()
	if b == nil || len(b.Studies) == 0 {
		return nil
	}
	if st := b.Studies[len(b.Studies)-1]; st.Open() {
		return st
	}
	return nil
}

// RunningStudy is the study that readings go to, open and not paused, and its step, which is below zero
// once all are measured: then readings wait, because a late one must not land on a rib.
func (s *Book) RunningStudy() (st *Study, step int, runs bool) {
	st = s.OpenStudy()
	if st == nil || st.Paused {
		return nil, 0, false
	}
	step, _ = st.Next()
	return st, step, true
}

// Studies counts the studies on record, so that each has a name of its own.
func (s *Book) Studies() int {
	n := 0
	for _, b := range s.Batches {
		n += len(b.Studies)
	}
	return n
}

// StudyReading finds a reading of the batch's studies.
func (b *Batch) StudyReading(seq int64) (*Study, int) {
	for _, st := range b.Studies {
		if i := slices.IndexFunc(st.Readings, func(r qc.StudyReading) bool { return r.Seq == seq }); i >= 0 {
			return st, i
		}
	}
	return nil, 0
}

func (s *Book) studyStarted(rec store.Record, body log.StudyStartedBody) error {
	b := s.Open()
	if b == nil || b.Body.ID != body.Batch {
		return errNoBatch
	}
	c, ok := b.Target.Characteristic(qc.CharID(body.Char))
	if !ok {
		return fmt.Errorf("target %q has no %q", b.Target.ID, body.Char)
	}
	seed, err := strconv.ParseUint(body.Seed, 16, 64)
	if err != nil {
		return fmt.Errorf("study %q: seed %q is not a hexadecimal number", body.Study, body.Seed)
	}
	if s.OpenStudy() != nil {
		return fmt.Errorf("study %q: another is open", body.Study)
	}
	st := &Study{Version: rec.Seq, Study: qc.Study{Started: rec.At(), StudyPlan: qc.StudyPlan{
		ID: body.Study, Char: c, Gauge: body.Gauge, Ribs: body.Ribs, Persons: body.Persons, Repeats: body.Repeats, Seed: seed,
	}}}
	for _, x := range body.Steps {
		if x.Rib < 0 || x.Rib >= len(body.Ribs) || x.Person < 0 || x.Person >= len(body.Persons) || x.Round < 1 || x.Round > body.Repeats {
			return fmt.Errorf("study %q: a step names rib %d and person %d in round %d", body.Study, x.Rib, x.Person, x.Round)
		}
		st.Steps = append(st.Steps, qc.StudyStep(x))
	}
	b.Studies = append(b.Studies[:len(b.Studies):len(b.Studies)], st)
	return nil
}

// studyOf is the open study of that name.
func (s *Book) studyOf(id string) (*Batch, *Study, error) {
	st := s.OpenStudy()
	if st == nil || st.ID != id {
		return nil, nil, fmt.Errorf("no study %q is open", id)
	}
	return s.Open(), st, nil
}

func (s *Book) studyMeasured(rec store.Record, body log.StudyMeasuredBody) error {
	b, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	step := body.Step - 1
	if step < 0 || step >= len(st.Steps) {
		return fmt.Errorf("study %q has no step %d", st.ID, body.Step)
	}
	if _, there := st.Counted(step); there {
		return fmt.Errorf("study %q: step %d has a reading", st.ID, body.Step)
	}
	if body.FromHeld != 0 {
		if err := b.settle(body.FromHeld); err != nil {
			return err
		}
	} else {
		s.noteSent(rec, body.ReadingBody, st.Ribs[st.Steps[step].Rib], st.Char.ID, body.Step)
	}
	st.Readings = append(st.Readings[:len(st.Readings):len(st.Readings)], qc.StudyReading{Step: step, Measurement: qc.Measurement{
		Seq: rec.Seq, At: rec.At(), Rib: st.Ribs[st.Steps[step].Rib], Char: st.Char.ID, Round: st.Steps[step].Round,
		Value: length.Length(body.ValueNM), Gauge: body.Gauge, Entry: qc.Entry(body.Entry), Text: body.Text, Unit: body.Unit, By: body.By,
	}})
	st.Version = rec.Seq
	return nil
}

// studyVoided withdraws a reading of a study; its step is then to be measured again.
func (st *Study) studyVoided(rec store.Record, i int, reason string) error {
	if !st.Open() || !st.Readings[i].Counts() {
		return fmt.Errorf("reading %d of study %q does not count any more, or the study has ended", st.Readings[i].Seq, st.ID)
	}
	st.Readings = slices.Clone(st.Readings)
	st.Readings[i].Voided, st.Readings[i].VoidReason = true, reason
	st.Version = rec.Seq
	return nil
}

func (s *Book) studyPaused(rec store.Record, body log.StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Paused, st.Version = true, rec.Seq
	return nil
}

func (s *Book) studyResumed(rec store.Record, body log.StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Paused, st.Version = false, rec.Seq
	return nil
}

func (s *Book) studyCancelled(rec store.Record, body log.StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Ended, st.Cancel, st.By, st.Version = rec.At(), body.Reason, body.By, rec.Seq
	return nil
}

// studyFinished takes the repeatability over into the gauge. The ribs of the open batch are judged anew with
// it: what is known of the gauge now was true when they were measured.
func (s *Book) studyFinished(rec store.Record, body log.StudyFinishedBody) error {
	b, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	before := make([]qc.Word, len(b.Ribs))
	for i, r := range b.Ribs {
		before[i] = s.wordOf(b, r)
	}
	st.Ended, st.Finished, st.By, st.Version = rec.At(), true, body.By, rec.Seq
	st.RepeatSD, st.RepeatDOF = length.Length(body.RepeatNM), body.RepeatDOF
	if err := s.changeGauge(rec, st.Gauge, func(g *Gauge) { g.RepeatSD, g.RepeatDOF = s.repeatability(g.ID) }); err != nil {
		return err
	}
	s.notice(rec, st.Gauge, words.StudyCounts{Study: st.ID, Gauge: s.GaugeName(st.Gauge), SD: st.RepeatSD})
	var changed []words.VerdictChange
	for i, r := range b.Ribs {
		if now := s.wordOf(b, r); now != before[i] {
			changed = append(changed, words.VerdictChange{Rib: r.ID, From: string(before[i]), To: string(now)})
		}
	}
	if len(changed) > 0 {
		s.notice(rec, st.Gauge, words.StudyChanged{Study: st.ID, Ribs: changed})
	}
	return nil
}

// repeatability is what the studies on record say of a gauge: the latest of each characteristic, and of
// those the largest, because one gauge has one budget.
func (s *Book) repeatability(gauge string) (sd length.Length, dof int) {
	type found struct {
		sd  length.Length
		dof int
	}
	latest := map[qc.CharID]found{}
	for _, b := range s.Batches {
		for _, st := range b.Studies {
			if st.Finished && st.Gauge == gauge {
				latest[st.Char.ID] = found{st.RepeatSD, st.RepeatDOF}
			}
		}
	}
	for _, f := range latest {
		if f.sd > sd || f.sd == sd && (dof == 0 || f.dof < dof) {
			sd, dof = f.sd, f.dof
		}
	}
	return sd, dof
}
