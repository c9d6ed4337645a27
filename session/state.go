package session

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/store"
)

// state is what the record adds up to. apply changes it, nothing else does.
type state struct {
	bench    string
	epoch    int64
	seq      int64
	head     store.Hash
	at       time.Time // of the last record
	software string

	gauges  []gauge // in the order first set
	lots    []qc.Lot
	jigs    []qc.Jig
	targets []qc.Target

	batches []*batch
	batch   *batch // on the bench: the one opened last, closed or not

	notices []notice // oldest first, bounded
	sent    map[string]sent
	last    lastValue
}

// gauge is a gauge with its connection.
type gauge struct {
	qc.Gauge
	stated  GaugeBody // as it was set
	address string
	format  string
	check   *GaugeCheckedBody // the last one
	checkAt time.Time
	retired string
	moved   GaugeMovedBody // where it was found last, once it was moved
}

// notice is something that happened and that the page tells, about a gauge or about none.
type notice struct {
	seq   int64
	gauge string
	said  words.Finding
}

// sent is the last value a gauge sent, for telling a second send from a second part.
type sent struct {
	text string
	unit string
	at   time.Time
	rib  string
	char qc.CharID
	step int // of a gauge study, from 1; 0 for a rib's own measurement
}

// lastValue names the last measurement taken.
type lastValue struct {
	rib *rib
	seq int64
}

// batch is one batch as recorded so far.
type batch struct {
	body     BatchBody
	target   qc.Target
	decision qc.Decision
	opened   time.Time
	closed   time.Time
	first    int64
	end      store.Head // of the last record, once closed
	asOf     time.Time  // of the last record, once closed

	lot, jig string // of the next rib
	ribs     []*rib
	current  *rib
	held     []*heldValue
	pulls    []qc.Pull
	notes    []qc.Note
	temps    []qc.TemperatureRead // in order; replaced whole when one changes
	pairs    *confirmed
	pairing  pairingState
	studies  []*study  // in order; only the last can be open
	counts   qc.Counts // of what is counted as it happens
	weighed  int64     // the last record that changed a gauge while it was open

	// Once closed: gauges, lots and jigs as they stood, so that a later check changes no old report.
	gauges []qc.Gauge
	lots   []qc.Lot
	jigs   []qc.Jig
}

// confirmed is a confirmation of pairs.
type confirmed struct {
	PairsBody
	seq    int64
	at     time.Time
	rule   qc.PairRule // by which they were chosen
	locked bool        // some were locked before
}

// heldValue is a value that waits or waited for a person.
type heldValue struct {
	HeldBody
	seq     int64
	settled bool
}

// rib is a rib with its version, the number of the last record that changed it.
type rib struct {
	qc.Rib
	version int64
	reopen  map[reopenKey]bool // characteristics opened again in a round
}

type reopenKey struct {
	char  qc.CharID
	round int
}

func newState(bench string) *state {
	return &state{bench: bench, sent: map[string]sent{}}
}

// RecordError says that a record does not fit what came before it.
type RecordError struct {
	Seq  int64
	Kind EventKind
	Err  error
}

func (e *RecordError) Error() string {
	return fmt.Sprintf("replay record %d (%s): %v; verify the record and start from a backup if it is damaged", e.Seq, e.Kind, e.Err)
}

func (e *RecordError) Unwrap() error { return e.Err }

// apply adds one record, live and on replay alike.
func (s *state) apply(r store.Record) error {
	step, ok := steps[EventKind(r.Kind)]
	err := fmt.Errorf("no such kind is known to this version")
	if ok {
		err = step(s, r)
	}
	if err != nil {
		return &RecordError{Seq: r.Seq, Kind: EventKind(r.Kind), Err: err}
	}
	s.epoch, s.seq, s.head, s.at = r.Epoch, r.Seq, r.Digest, r.At()
	return nil
}

// step applies the body of one kind.
type step func(*state, store.Record) error

// on makes a step of a function of the decoded body.
func on[B any](f func(*state, store.Record, B) error) step {
	return func(s *state, r store.Record) error {
		var b B
		if err := json.Unmarshal(r.Body, &b); err != nil {
			return err
		}
		return f(s, r, b)
	}
}

// steps has one entry for every kind of event.go.
var steps = map[EventKind]step{
	EpochStarted:   on((*state).epochStarted),
	GaugeSet:       on((*state).gaugeSet),
	LotSet:         on((*state).lotSet),
	JigSet:         on((*state).jigSet),
	TargetSet:      on((*state).targetSet),
	BatchOpened:    on((*state).batchOpened),
	BatchClosed:    on((*state).batchClosed),
	RibStarted:     on((*state).ribStarted),
	RibChosen:      on((*state).ribChosen),
	RoundStarted:   on((*state).roundStarted),
	Measured:       on((*state).measured),
	Held:           on((*state).heldBack),
	HeldDiscarded:  on((*state).heldDiscarded),
	Refused:        on((*state).refused),
	Voided:         on((*state).voided),
	Skipped:        on((*state).skipped),
	Pulled:         on((*state).pulled),
	PairsConfirmed: on((*state).pairsConfirmed),
	Noted:          on((*state).noted),
	Reopened:       on((*state).reopened),
	NextSet:        on((*state).nextSet),
	StudyStarted:   on((*state).studyStarted),
	StudyMeasured:  on((*state).studyMeasured),
	GaugeChecked:   on((*state).gaugeChecked),
	GaugeMoved:     on((*state).gaugeMoved),
	GaugeRetired:   on((*state).gaugeRetired),
	TemperatureSet: on((*state).temperatureSet),
	StudyPaused:    on((*state).studyPaused),
	StudyResumed:   on((*state).studyResumed),
	StudyCancelled: on((*state).studyCancelled),
	StudyFinished:  on((*state).studyFinished),
	PairRuleSet:    on((*state).pairRuleSet),
	PairLocked:     on((*state).pairLocked),
	PairReleased:   on((*state).pairReleased),
	PairForbidden:  on((*state).pairForbidden),
	PairAllowed:    on((*state).pairAllowed),
	OrderConfirmed: on((*state).orderConfirmed),
}

func (s *state) gauge(id string) (qc.Gauge, bool) {
	for i := range s.gauges {
		if s.gauges[i].ID == id {
			return s.gauges[i].Gauge, true
		}
	}
	return qc.Gauge{}, false
}

func (s *state) qcGauges() []qc.Gauge {
	list := make([]qc.Gauge, len(s.gauges))
	for i, g := range s.gauges {
		list[i] = g.Gauge
	}
	return list
}

func (s *state) target(id string, revision int) (qc.Target, bool) {
	for _, t := range s.targets {
		if t.ID == id && t.Revision == revision {
			return t, true
		}
	}
	return qc.Target{}, false
}

func (s *state) lot(id string) (qc.Lot, bool) {
	for _, l := range s.lots {
		if l.ID == id {
			return l, true
		}
	}
	return qc.Lot{}, false
}

func (s *state) jig(id string) (qc.Jig, bool) {
	for _, j := range s.jigs {
		if j.ID == id {
			return j, true
		}
	}
	return qc.Jig{}, false
}

// open is the batch being measured, nil when there is none.
func (s *state) open() *batch {
	if s.batch == nil || !s.batch.closed.IsZero() {
		return nil
	}
	return s.batch
}

func (b *batch) rib(id string) *rib {
	for _, r := range b.ribs {
		if r.ID == id {
			return r
		}
	}
	return nil
}

func (b *batch) heldValue(seq int64) *heldValue {
	for _, h := range b.held {
		if h.seq == seq {
			return h
		}
	}
	return nil
}

// targetOf is the target as the rib's own bar makes it.
func (b *batch) targetOf(r *rib) qc.Target { return b.target.ForBar(r.BarLength) }

// judge works the rib's verdict out; with an error it is open. The ribs of a closed batch are judged by the
// gauges as they stood at closing, so that no later study or check changes them.
func (s *state) judge(b *batch, r *rib) (qc.Verdict, error) {
	v, err := qc.Judge(b.target, r.Rib, s.gaugeIn(b), b.decision)
	if err != nil {
		v = qc.Verdict{Word: qc.Open, Reason: err.Error(), Rule: b.decision.Rule, Confidence: b.decision.Confidence, Round: r.Round}
	}
	return v, err
}

// gaugesOf are the gauges that the batch is judged by.
func (s *state) gaugesOf(b *batch) []qc.Gauge {
	if b.closed.IsZero() {
		return s.qcGauges()
	}
	return b.gauges
}

// gaugeIn finds a gauge among those that the batch is judged by.
func (s *state) gaugeIn(b *batch) qc.GaugeOf {
	if b.closed.IsZero() {
		return s.gauge
	}
	return func(id string) (qc.Gauge, bool) {
		i := slices.IndexFunc(b.gauges, func(g qc.Gauge) bool { return g.ID == id })
		if i < 0 {
			return qc.Gauge{}, false
		}
		return b.gauges[i], true
	}
}

// weigh marks that a record changed a gauge, and so what the ribs of the open batch are judged by.
func (s *state) weigh(seq int64) {
	if b := s.open(); b != nil {
		b.weighed = seq
	}
}

// touch marks that a record changed the rib.
func (r *rib) touch(seq int64) { r.version = seq }

// measurement returns the measurement of that seq in the rib, nil when it is not there.
func (r *rib) measurement(seq int64) *qc.Measurement {
	for i := range r.Measurements {
		if r.Measurements[i].Seq == seq {
			return &r.Measurements[i]
		}
	}
	return nil
}
