package session

import (
	"fmt"
	"slices"
	"strconv"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/store"
)

// study is a gauge study with the number of its last record.
type study struct {
	qc.Study
	version int64
}

// openStudy is the study of the open batch that is neither finished nor cancelled, nil when there is none.
func (s *state) openStudy() *study {
	b := s.open()
	if b == nil || len(b.studies) == 0 {
		return nil
	}
	if st := b.studies[len(b.studies)-1]; st.Open() {
		return st
	}
	return nil
}

// runningStudy is the study that readings go to, open and not paused, and its step, which is below zero
// once all are measured: then readings wait, because a late one must not land on a rib.
func (s *state) runningStudy() (st *study, step int, runs bool) {
	st = s.openStudy()
	if st == nil || st.Paused {
		return nil, 0, false
	}
	step, _ = st.Next()
	return st, step, true
}

func (s *state) studyStarted(rec store.Record, body StudyStartedBody) error {
	b := s.open()
	if b == nil || b.body.ID != body.Batch {
		return errNoBatch
	}
	c, ok := b.target.Characteristic(qc.CharID(body.Char))
	if !ok {
		return fmt.Errorf("target %q has no %q", b.target.ID, body.Char)
	}
	seed, err := strconv.ParseUint(body.Seed, 16, 64)
	if err != nil {
		return fmt.Errorf("study %q: seed %q is not a hexadecimal number", body.Study, body.Seed)
	}
	if s.openStudy() != nil {
		return fmt.Errorf("study %q: another is open", body.Study)
	}
	st := &study{version: rec.Seq, Study: qc.Study{Started: rec.At(), StudyPlan: qc.StudyPlan{
		ID: body.Study, Char: c, Gauge: body.Gauge, Ribs: body.Ribs, Persons: body.Persons, Repeats: body.Repeats, Seed: seed,
	}}}
	for _, x := range body.Steps {
		if x.Rib < 0 || x.Rib >= len(body.Ribs) || x.Person < 0 || x.Person >= len(body.Persons) || x.Round < 1 || x.Round > body.Repeats {
			return fmt.Errorf("study %q: a step names rib %d and person %d in round %d", body.Study, x.Rib, x.Person, x.Round)
		}
		st.Steps = append(st.Steps, qc.StudyStep(x))
	}
	b.studies = append(b.studies[:len(b.studies):len(b.studies)], st)
	return nil
}

// studyOf is the open study of that name.
func (s *state) studyOf(id string) (*batch, *study, error) {
	st := s.openStudy()
	if st == nil || st.ID != id {
		return nil, nil, fmt.Errorf("no study %q is open", id)
	}
	return s.open(), st, nil
}

func (s *state) studyMeasured(rec store.Record, body StudyMeasuredBody) error {
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
		Seq: rec.Seq, At: rec.At(), Rib: st.Ribs[st.Steps[step].Rib], Char: st.Char.ID, Round: st.Steps[step].Round, Value: length.Length(body.ValueNM),
		Gauge: body.Gauge, Entry: qc.Entry(body.Entry), Text: body.Text, Unit: body.Unit, By: body.By,
	}})
	st.version = rec.Seq
	return nil
}

// settle marks a held value as answered.
func (b *batch) settle(seq int64) error {
	h := b.heldValue(seq)
	if h == nil || h.settled {
		return fmt.Errorf("no held value %d waits", seq)
	}
	h.settled = true
	return nil
}

// studyReading finds a reading of the batch's studies.
func (b *batch) studyReading(seq int64) (*study, int) {
	for _, st := range b.studies {
		if i := slices.IndexFunc(st.Readings, func(r qc.StudyReading) bool { return r.Seq == seq }); i >= 0 {
			return st, i
		}
	}
	return nil, 0
}

// studyVoided withdraws a reading of a study; its step is then to be measured again.
func (st *study) studyVoided(rec store.Record, i int, reason string) error {
	if !st.Open() || !st.Readings[i].Counts() {
		return fmt.Errorf("reading %d of study %q does not count any more, or the study has ended", st.Readings[i].Seq, st.ID)
	}
	st.Readings = slices.Clone(st.Readings)
	st.Readings[i].Voided, st.Readings[i].VoidReason = true, reason
	st.version = rec.Seq
	return nil
}

func (s *state) studyPaused(rec store.Record, body StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Paused, st.version = true, rec.Seq
	return nil
}

func (s *state) studyResumed(rec store.Record, body StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Paused, st.version = false, rec.Seq
	return nil
}

func (s *state) studyCancelled(rec store.Record, body StudyTurnBody) error {
	_, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	st.Ended, st.Cancel, st.By, st.version = rec.At(), body.Reason, body.By, rec.Seq
	return nil
}

// studyFinished takes the repeatability over into the gauge. The ribs of the open batch are judged anew with
// it: what is known of the gauge now was true when they were measured.
func (s *state) studyFinished(rec store.Record, body StudyFinishedBody) error {
	b, st, err := s.studyOf(body.Study)
	if err != nil {
		return err
	}
	before := make([]qc.Word, len(b.ribs))
	for i, r := range b.ribs {
		before[i] = s.wordOf(b, r)
	}
	st.Ended, st.Finished, st.By, st.version = rec.At(), true, body.By, rec.Seq
	st.RepeatSD, st.RepeatDOF = length.Length(body.RepeatNM), body.RepeatDOF
	if err := s.changeGauge(rec, st.Gauge, func(g *gauge) { g.RepeatSD, g.RepeatDOF = s.repeatability(g.ID) }); err != nil {
		return err
	}
	s.notice(rec, st.Gauge, words.StudyCounts{Study: st.ID, Gauge: s.gaugeName(st.Gauge), SD: st.RepeatSD})
	var changed []words.VerdictChange
	for i, r := range b.ribs {
		if now := s.wordOf(b, r); now != before[i] {
			changed = append(changed, words.VerdictChange{Rib: r.ID, From: string(before[i]), To: string(now)})
		}
	}
	if len(changed) > 0 {
		s.notice(rec, st.Gauge, words.StudyChanged{Study: st.ID, Ribs: changed})
	}
	return nil
}

func (s *state) wordOf(b *batch, r *rib) qc.Word {
	v, _ := s.judge(b, r) // one that cannot be judged is open
	return v.Word
}

// repeatability is what the studies on record say of a gauge: the latest of each characteristic, and of
// those the largest, because one gauge has one budget.
func (s *state) repeatability(gauge string) (sd length.Length, dof int) {
	type found struct {
		sd  length.Length
		dof int
	}
	latest := map[qc.CharID]found{}
	for _, b := range s.batches {
		for _, st := range b.studies {
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
