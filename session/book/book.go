package book

import (
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Book is what the record adds up to. apply changes it, nothing else does.
type Book struct {
	Bench    string
	Epoch    int64
	Seq      int64
	Head     store.Hash
	At       time.Time // of the last record
	Software string

	Gauges  []Gauge // in the order first set
	Lots    []qc.Lot
	Jigs    []qc.Jig
	targets []qc.Target

	Batches []*Batch
	Batch   *Batch // on the bench: the one opened last, closed or not

	Notices []notice // oldest first, bounded
	Sent    map[string]sent
	Last    lastValue
}

// Gauge is a gauge with its connection.
type Gauge struct {
	qc.Gauge
	Stated   log.GaugeBody // as it was set
	Address  string
	Format   string
	check    *log.GaugeCheckedBody // the last one
	checkAt  time.Time
	OutOfUse string
	Moved    log.GaugeMovedBody // where it was found last, once it was moved
}

// notice is something that happened and that the page tells, about a gauge or about none.
type notice struct {
	Seq   int64
	Gauge string
	Said  words.Finding
}

// sent is the last value a gauge sent, for telling a second send from a second part.
type sent struct {
	Text string
	Unit string
	At   time.Time
	Rib  string
	Char qc.CharID
	Step int // of a gauge study, from 1; 0 for a rib's own measurement
}

// lastValue names the last measurement taken.
type lastValue struct {
	Rib *Rib
	Seq int64
}

// Batch is one batch as recorded so far.
type Batch struct {
	Body     log.BatchBody
	Target   qc.Target
	Decision qc.Decision
	opened   time.Time
	Closed   time.Time
	first    int64
	end      store.Head // of the last record, once closed
	asOf     time.Time  // of the last record, once closed

	Lot, Jig string // of the next rib
	Ribs     []*Rib
	Current  *Rib
	Held     []*Held
	pulls    []qc.Pull
	notes    []qc.Note
	Temps    []qc.TemperatureRead // in order; replaced whole when one changes
	Pairs    *Confirmed
	Pairing  PairingState
	Studies  []*Study  // in order; only the last can be open
	counts   qc.Counts // of what is counted as it happens
	Weighed  int64     // the last record that changed a gauge while it was open

	// Once closed: gauges, lots and jigs as they stood, so that a later check changes no old report.
	gauges []qc.Gauge
	lots   []qc.Lot
	jigs   []qc.Jig
}

// Confirmed is a confirmation of pairs.
type Confirmed struct {
	log.PairsBody
	Seq    int64
	At     time.Time
	Rule   qc.PairRule // by which they were chosen
	Locked bool        // some were locked before
}

// Held is a value that waits or waited for a person.
type Held struct {
	log.HeldBody
	Seq     int64
	Settled bool
}

// Rib is a rib with its version, the number of the last record that changed it.
type Rib struct {
	qc.Rib
	Version int64
	reopen  map[reopenKey]bool // characteristics opened again in a round
}

type reopenKey struct {
	char  qc.CharID
	round int
}

func New(bench string) *Book {
	return &Book{Bench: bench, Sent: map[string]sent{}}
}

// RecordError says that a record does not fit what came before it.
type RecordError struct {
	Seq  int64
	Kind log.Kind
	Err  error
}

func (e *RecordError) Error() string {
	return fmt.Sprintf("replay record %d (%s): %v; verify the record and start from a backup if it is damaged", e.Seq, e.Kind, e.Err)
}

func (e *RecordError) Unwrap() error { return e.Err }

// Apply adds one record, live and on replay alike.
func (s *Book) Apply(r store.Record) error {
	step, ok := Steps[log.Kind(r.Kind)]
	err := fmt.Errorf("no such kind is known to this version")
	if ok {
		err = step(s, r)
	}
	if err != nil {
		return &RecordError{Seq: r.Seq, Kind: log.Kind(r.Kind), Err: err}
	}
	s.Epoch, s.Seq, s.Head, s.At = r.Epoch, r.Seq, r.Digest, r.At()
	return nil
}

// step applies the body of one kind.
type step func(*Book, store.Record) error

// on makes a step of a function of the decoded body.
func on[B any](f func(*Book, store.Record, B) error) step {
	return func(s *Book, r store.Record) error {
		var b B
		if err := json.Unmarshal(r.Body, &b); err != nil {
			return err
		}
		return f(s, r, b)
	}
}

// Steps has one entry for every kind of event.go.
var Steps = map[log.Kind]step{
	log.EpochStarted:   on((*Book).epochStarted),
	log.GaugeSet:       on((*Book).gaugeSet),
	log.LotSet:         on((*Book).lotSet),
	log.JigSet:         on((*Book).jigSet),
	log.TargetSet:      on((*Book).targetSet),
	log.BatchOpened:    on((*Book).batchOpened),
	log.BatchClosed:    on((*Book).batchClosed),
	log.RibStarted:     on((*Book).ribStarted),
	log.RibChosen:      on((*Book).ribChosen),
	log.RoundStarted:   on((*Book).roundStarted),
	log.Measured:       on((*Book).measured),
	log.Held:           on((*Book).heldBack),
	log.HeldDiscarded:  on((*Book).heldDiscarded),
	log.Refused:        on((*Book).refused),
	log.Voided:         on((*Book).voided),
	log.Skipped:        on((*Book).skipped),
	log.Pulled:         on((*Book).pulled),
	log.PairsConfirmed: on((*Book).pairsConfirmed),
	log.Noted:          on((*Book).noted),
	log.Reopened:       on((*Book).reopened),
	log.NextSet:        on((*Book).nextSet),
	log.StudyStarted:   on((*Book).studyStarted),
	log.StudyMeasured:  on((*Book).studyMeasured),
	log.GaugeChecked:   on((*Book).gaugeChecked),
	log.GaugeMoved:     on((*Book).gaugeMoved),
	log.GaugeRetired:   on((*Book).gaugeRetired),
	log.TemperatureSet: on((*Book).temperatureSet),
	log.StudyPaused:    on((*Book).studyPaused),
	log.StudyResumed:   on((*Book).studyResumed),
	log.StudyCancelled: on((*Book).studyCancelled),
	log.StudyFinished:  on((*Book).studyFinished),
	log.PairRuleSet:    on((*Book).pairRuleSet),
	log.PairLocked:     on((*Book).pairLocked),
	log.PairReleased:   on((*Book).pairReleased),
	log.PairForbidden:  on((*Book).pairForbidden),
	log.PairAllowed:    on((*Book).pairAllowed),
	log.OrderConfirmed: on((*Book).orderConfirmed),
}

func (s *Book) Gauge(id string) (qc.Gauge, bool) {
	for i := range s.Gauges {
		if s.Gauges[i].ID == id {
			return s.Gauges[i].Gauge, true
		}
	}
	return qc.Gauge{}, false
}

func (s *Book) QcGauges() []qc.Gauge {
	list := make([]qc.Gauge, len(s.Gauges))
	for i, g := range s.Gauges {
		list[i] = g.Gauge
	}
	return list
}

func (s *Book) Target(id string, revision int) (qc.Target, bool) {
	for _, t := range s.targets {
		if t.ID == id && t.Revision == revision {
			return t, true
		}
	}
	return qc.Target{}, false
}

func (s *Book) Lot(id string) (qc.Lot, bool) {
	for _, l := range s.Lots {
		if l.ID == id {
			return l, true
		}
	}
	return qc.Lot{}, false
}

func (s *Book) Jig(id string) (qc.Jig, bool) {
	for _, j := range s.Jigs {
		if j.ID == id {
			return j, true
		}
	}
	return qc.Jig{}, false
}

// Open is the batch being measured, nil when there is none.
func (s *Book) Open() *Batch {
	if s.Batch == nil || !s.Batch.Closed.IsZero() {
		return nil
	}
	return s.Batch
}

func (b *Batch) Rib(id string) *Rib {
	for _, r := range b.Ribs {
		if r.ID == id {
			return r
		}
	}
	return nil
}

func (b *Batch) HeldValue(seq int64) *Held {
	for _, h := range b.Held {
		if h.Seq == seq {
			return h
		}
	}
	return nil
}

// TargetOf is the target as the rib's own bar makes it.
func (b *Batch) TargetOf(r *Rib) qc.Target { return b.Target.ForBar(r.BarLength) }

// Judge works the rib's verdict out; with an error it is open. The ribs of a closed batch are judged by the
// gauges as they stood at closing, so that no later study or check changes them.
func (s *Book) Judge(b *Batch, r *Rib) (qc.Verdict, error) {
	v, err := qc.Judge(b.Target, r.Rib, s.GaugeIn(b), b.Decision)
	if err != nil {
		v = qc.Verdict{Word: qc.Open, Reason: err.Error(), Rule: b.Decision.Rule, Confidence: b.Decision.Confidence, Round: r.Round}
	}
	return v, err
}

// GaugesOf are the gauges that the batch is judged by.
func (s *Book) GaugesOf(b *Batch) []qc.Gauge {
	if b.Closed.IsZero() {
		return s.QcGauges()
	}
	return b.gauges
}

// GaugeIn finds a gauge among those that the batch is judged by.
func (s *Book) GaugeIn(b *Batch) qc.GaugeOf {
	if b.Closed.IsZero() {
		return s.Gauge
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
func (s *Book) weigh(seq int64) {
	if b := s.Open(); b != nil {
		b.Weighed = seq
	}
}

// touch marks that a record changed the rib.
func (r *Rib) touch(seq int64) { r.Version = seq }

// Measurement returns the measurement of that seq in the rib, nil when it is not there.
func (r *Rib) Measurement(seq int64) *qc.Measurement {
	for i := range r.Measurements {
		if r.Measurements[i].Seq == seq {
			return &r.Measurements[i]
		}
	}
	return nil
}
