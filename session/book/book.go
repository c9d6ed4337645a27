package book

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Book is what the record adds up to. [Book.Apply] changes it, nothing else does. Readers may hold its slices: they
// are appended to and replaced, never written into.
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

// New is the book of an empty record.
func New(bench string) *Book {
	return &Book{Bench: bench, Sent: map[string]sent{}}
}

// Replay works the state out from the record, up to and including seq; zero means all of it.
func Replay(ctx context.Context, st *store.Store, bench string, seq int64) (*Book, error) {
	s := New(bench)
	if err := st.Each(ctx, bench, 0, seq, s.Apply); err != nil {
		return nil, err
	}
	return s, nil
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

// Steps has one entry for every kind of session/log.
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

// notice keeps what a record says beside the ribs, the newest last.
func (s *Book) notice(rec store.Record, gauge string, said words.Finding) {
	if len(s.Notices) == maxNotices {
		s.Notices = s.Notices[1:]
	}
	s.Notices = append(s.Notices[:len(s.Notices):len(s.Notices)], notice{rec.Seq, gauge, said})
}

// noteSent remembers what a gauge sent last.
func (s *Book) noteSent(rec store.Record, body log.ReadingBody, rib string, char qc.CharID, step int) {
	if qc.Entry(body.Entry) == qc.Sent {
		s.Sent[body.Gauge] = sent{Text: body.Text, Unit: body.Unit, At: rec.At(), Rib: rib, Char: char, Step: step}
	}
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

func (s *Book) epochStarted(r store.Record, b log.EpochBody) error {
	s.Software = b.Software
	s.Bench = r.Bench
	return nil
}

// maxNotices bounds what the page shows of the past.
const maxNotices = 20

// find is the first that is so, the zero value and false when there is none.
func find[T any](list []T, is func(T) bool) (found T, ok bool) {
	i := slices.IndexFunc(list, is)
	if i < 0 {
		return found, false
	}
	return list[i], true
}
