package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/store"
)

// Op names what a person wants done.
type Op string

// The operations. The fields of Command that each reads stand behind it; Key, Version and By go with all.
const (
	OpStart        Op = "start"         // Rib (empty: the next number), Lot (empty: the lot of the next rib), Text: the bar's length as measured
	OpChoose       Op = "choose"        // Rib
	OpType         Op = "type"          // Text; Rib and Char, or the current rib's next; Gauge
	OpAgain        Op = "again"         // Char, Reason; Rib; Seq of a held value that is thrown out with the others
	OpUndo         Op = "undo"          // nothing: the last counting measurement of the current rib
	OpVoid         Op = "void"          // Seq, Reason
	OpSkip         Op = "skip"          // Reason; Rib and Char, or the current rib's next
	OpRound        Op = "round"         // Reason; Rib, Jig when the bar was wrapped again
	OpTake         Op = "take"          // Seq of the held value; Suggested; Rib and Char where it has none; Reason where repeats disagree
	OpDiscard      Op = "discard"       // Seq of the held value, Reason
	OpPull         Op = "pull"          // Before, Loaded; Rib, Gauge
	OpLot          Op = "lot"           // Lot of the next rib
	OpJig          Op = "jig"           // Jig of the next rib
	OpConfirmPairs Op = "confirm-pairs" // Token, By
	OpJigBuilt     Op = "jig-built"     // Text: face radius; Jig: its name, empty takes the next number
	OpPairRule     Op = "pair-rule"     // Metric, Objective, Weights, Limit, OtherLot: what is left empty stays
	OpPairLock     Op = "pair-lock"     // Rib, With
	OpPairRelease  Op = "pair-release"  // Rib, With; Reason
	OpPairForbid   Op = "pair-forbid"   // Rib, With, Reason
	OpPairAllow    Op = "pair-allow"    // Rib, With
	OpConfirmOrder Op = "confirm-order" // Token, By; First, Last as when it was worked out
	OpNote         Op = "note"          // Text; Rib
	OpClose        Op = "close"         // nothing
	OpGaugeCheck   Op = "gauge-check"   // Gauge, Reference, Text: readings with semicolons between; Doubt of the reference; Due, Reason: what the reference is
	OpGaugeSet     Op = "gauge-set"     // Gauge, Text: the gauge as its event writes it, JSON
	OpGaugeRetire  Op = "gauge-retire"  // Gauge, Reason
	OpTemperature  Op = "temperature"   // Bar, Tape; Doubt; Seq of an earlier reading that was wrong
	OpStudyStart   Op = "study-start"   // Char, Gauge, Ribs, Persons, Repeats
	OpStudyPause   Op = "study-pause"   // nothing; as of the others below, Version is the study's
	OpStudyResume  Op = "study-resume"  // nothing
	OpStudyCancel  Op = "study-cancel"  // Reason
	OpStudyFinish  Op = "study-finish"  // nothing: the result counts in the gauge's budget from then on
)

// Command is one thing a person wants done. Key makes it safe to send again: the same key gets the same
// answer and no second record. Version is the rib's version as seen when deciding; a rib that has
// moved on since is a conflict. Zero means that the person has not looked.
type Command struct {
	Op        Op     `json:"op"`
	Rib       string `json:"rib,omitempty"`
	Char      string `json:"char,omitempty"`
	Text      string `json:"text,omitempty"`
	Gauge     string `json:"gauge,omitempty"`
	Before    string `json:"before,omitempty"`
	Loaded    string `json:"loaded,omitempty"`
	Seq       int64  `json:"seq,omitempty"`
	Suggested bool   `json:"suggested,omitempty"` // take the value that the bench suggested instead
	Reason    string `json:"reason,omitempty"`
	Lot       string `json:"lot,omitempty"`
	Jig       string `json:"jig,omitempty"`
	By        string `json:"by,omitempty"`
	Key       string `json:"key,omitempty"`
	Version   int64  `json:"version,omitempty"`
	Token     string `json:"token,omitempty"`
	With      string `json:"with,omitempty"`      // the other rib of a pair
	Metric    string `json:"metric,omitempty"`    // rms or max
	Objective string `json:"objective,omitempty"` // sum or worst_then_sum
	Weights   string `json:"weights,omitempty"`   // of tip-to-tip, crown height and each station: "1 1 2"
	Limit     string `json:"limit,omitempty"`     // length, or none
	OtherLot  string `json:"other_lot,omitempty"` // length, or none
	First     string `json:"first,omitempty"`     // a rib of the pair that stands first
	Last      string `json:"last,omitempty"`      // a rib of the pair that stands last
	Reference string `json:"reference,omitempty"` // a length that is known
	Bar       string `json:"bar,omitempty"`       // temperature of the bar in degrees C
	Tape      string `json:"tape,omitempty"`      // temperature of the tape in degrees C
	Doubt     string `json:"doubt,omitempty"`     // how far it may be off
	Due       string `json:"due,omitempty"`       // a day: 2027-03-31
	Ribs      string `json:"ribs,omitempty"`      // numbers with commas between
	Persons   string `json:"persons,omitempty"`   // names with commas between
	Repeats   int64  `json:"repeats,omitempty"`   // readings of each rib by each person
}

// Ack says what was recorded, and is the same whenever the same command is sent again.
type Ack struct {
	Epoch int64     `json:"epoch"`
	Seq   int64     `json:"seq"`
	Kind  EventKind `json:"kind"`
	Rib   string    `json:"rib,omitempty"`
	Char  string    `json:"char,omitempty"`
	Read  string    `json:"read,omitempty"` // a typed value read back
	// Held is set when the value waits for an answer: Reason says why and Ask what to decide.
	Held    bool   `json:"held,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Ask     string `json:"ask,omitempty"`
	Suggest string `json:"suggest,omitempty"`
}

// The codes of a refusal that a command may meet.
const (
	CodeBadOp      = words.CodeBadOp
	CodeBadValue   = words.CodeBadValue
	CodeMissing    = words.CodeMissing
	CodeUnknown    = words.CodeUnknown
	CodeNoBatch    = words.CodeNoBatch
	CodeNoRib      = words.CodeNoRib
	CodeExists     = words.CodeExists
	CodeComplete   = words.CodeComplete
	CodeSettled    = words.CodeSettled
	CodeConflict   = words.CodeConflict
	CodeKeyUsed    = words.CodeKeyUsed
	CodeHeld       = words.CodeHeld
	CodeNoStudy    = words.CodeNoStudy
	CodeStudyRuns  = words.CodeStudyRuns
	CodeIncomplete = words.CodeIncomplete
	CodeUnprovable = words.CodeUnprovable
)

// problem makes a refusal.
func problem(code, field, do, format string, args ...any) *words.Refusal {
	return words.Problem(code, field, do, format, args...)
}

// event is a decision to record something.
type event struct {
	kind EventKind
	body any
}

// deciders has one entry for every operation: it checks the command against the state and says what
// to record.
var deciders = map[Op]func(*Bench, Command) (event, error){
	OpStart: (*Bench).start, OpChoose: (*Bench).choose, OpType: (*Bench).typed, OpAgain: (*Bench).again,
	OpUndo: (*Bench).undo, OpVoid: (*Bench).void, OpSkip: (*Bench).skip, OpRound: (*Bench).round,
	OpTake: (*Bench).take, OpDiscard: (*Bench).discard, OpPull: (*Bench).pull, OpLot: (*Bench).setLot,
	OpJig: (*Bench).setJig, OpConfirmPairs: (*Bench).confirmPairs, OpNote: (*Bench).note, OpClose: (*Bench).closeBatch,
	OpPairRule: (*Bench).pairRule, OpPairLock: (*Bench).pairLock, OpPairRelease: (*Bench).pairRelease,
	OpGaugeCheck: (*Bench).checkGauge, OpGaugeRetire: (*Bench).retireGauge, OpGaugeSet: (*Bench).setGauge, OpTemperature: (*Bench).temperature,
	OpStudyStart: (*Bench).studyStart, OpStudyPause: (*Bench).studyPause, OpStudyResume: (*Bench).studyResume,
	OpStudyCancel: (*Bench).studyCancel, OpStudyFinish: (*Bench).studyFinish,
	OpJigBuilt:   (*Bench).jigBuilt,
	OpPairForbid: (*Bench).pairForbid, OpPairAllow: (*Bench).pairAllow, OpConfirmOrder: (*Bench).confirmOrder,
}

// answers lists what an operation may have been recorded as.
var answers = map[Op][]EventKind{
	OpStart: {RibStarted}, OpChoose: {RibChosen}, OpType: {Measured, Held, StudyMeasured}, OpAgain: {Reopened},
	OpUndo: {Voided}, OpVoid: {Voided}, OpSkip: {Skipped}, OpRound: {RoundStarted}, OpTake: {Measured, StudyMeasured},
	OpDiscard: {HeldDiscarded}, OpPull: {Pulled}, OpLot: {NextSet}, OpJig: {NextSet},
	OpConfirmPairs: {PairsConfirmed}, OpNote: {Noted}, OpClose: {BatchClosed},
	OpPairRule: {PairRuleSet}, OpPairLock: {PairLocked}, OpPairRelease: {PairReleased},
	OpGaugeCheck: {GaugeChecked}, OpGaugeRetire: {GaugeRetired}, OpGaugeSet: {GaugeSet}, OpTemperature: {TemperatureSet},
	OpStudyStart: {StudyStarted}, OpStudyPause: {StudyPaused}, OpStudyResume: {StudyResumed},
	OpStudyCancel: {StudyCancelled}, OpStudyFinish: {StudyFinished},
	OpJigBuilt:   {NextSet},
	OpPairForbid: {PairForbidden}, OpPairAllow: {PairAllowed}, OpConfirmOrder: {OrderConfirmed},
}

// Do carries a command out. When it returns an Ack the record is on the disk and shown. Errors are
// *words.Refusal, or wrap [store.ErrNotSaved].
func (b *Bench) Do(ctx context.Context, c Command) (Ack, error) {
	decide, ok := deciders[c.Op]
	if !ok {
		return Ack{}, problem(CodeBadOp, "op", "", "operation %q is not known", c.Op)
	}
	if err := checkTexts(c); err != nil {
		return Ack{}, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.writable(); err != nil {
		return Ack{}, err
	}
	if c.Key != "" {
		r, found, err := b.store.ByKey(ctx, b.cfg.Bench, c.Key)
		if err != nil {
			return Ack{}, err
		}
		if found {
			return repeated(c, r)
		}
	}
	if err := ctx.Err(); err != nil {
		return Ack{}, err
	}
	ev, err := decide(b, c)
	if err != nil {
		return Ack{}, err
	}
	r, err := b.add(ev.kind, c.Key, b.cfg.Now(), ev.body)
	if err != nil {
		return Ack{}, err
	}
	return ackOf(r)
}

// writable says why nothing can be recorded, if so.
func (b *Bench) writable() error {
	switch {
	case b.closed:
		return &store.NotSavedError{Cause: errClosed}
	case b.store.ReadOnly():
		return ErrReadOnly
	case b.lost != nil:
		return &store.NotSavedError{Cause: b.lost}
	}
	if err := b.store.Failed(); err != nil {
		return &store.NotSavedError{Cause: err}
	}
	return nil
}

var errClosed = errors.New("the bench is closed")

// repeated answers a command that was carried out before.
func repeated(c Command, r store.Record) (Ack, error) {
	for _, k := range answers[c.Op] {
		if string(k) == r.Kind {
			return ackOf(r)
		}
	}
	return Ack{}, problem(CodeKeyUsed, "key", "give every command a key of its own",
		"the key %q stands for record %d (%s) and cannot be used for %q", c.Key, r.Seq, r.Kind, c.Op)
}

// ackOf reads the answer from the record alone, so that it is the same at any later time.
func ackOf(r store.Record) (Ack, error) {
	a := Ack{Epoch: r.Epoch, Seq: r.Seq, Kind: EventKind(r.Kind)}
	var body struct {
		ReadingBody
		Rib  string `json:"rib"`
		Char string `json:"char"`
	}
	if err := json.Unmarshal(r.Body, &body); err != nil {
		return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
	}
	a.Rib, a.Char = body.Rib, body.Char
	if body.Gauge != "" && (a.Kind == Measured || a.Kind == Held || a.Kind == StudyMeasured) {
		a.Read = body.ReadingBody.readBack()
	}
	if a.Kind == Held {
		var held HeldBody
		if err := json.Unmarshal(r.Body, &held); err != nil {
			return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
		}
		a.Held, a.Reason, a.Ask = true, words.English.Say(held.why()), words.English.Say(held.decide())
		if held.Suggest != 0 {
			a.Suggest = words.Exact(nm(held.Suggest))
		}
	}
	return a, nil
}

// Limits on texts from outside.
const (
	maxName = 120
	maxText = 2000
	maxKey  = 100
)

func checkTexts(c Command) error {
	for _, f := range []struct {
		name, text string
		most       int
	}{
		{"rib", c.Rib, maxName}, {"char", c.Char, maxName}, {"gauge", c.Gauge, maxName}, {"lot", c.Lot, maxName}, {"jig", c.Jig, maxName},
		{"by", c.By, maxName}, {"key", c.Key, maxKey}, {"token", c.Token, maxName}, {"ribs", c.Ribs, maxText}, {"persons", c.Persons, maxText}, {"before", c.Before, maxName}, {"loaded", c.Loaded, maxName},
		{"with", c.With, maxName}, {"metric", c.Metric, maxName}, {"objective", c.Objective, maxName}, {"weights", c.Weights, maxName},
		{"limit", c.Limit, maxName}, {"other_lot", c.OtherLot, maxName}, {"first", c.First, maxName}, {"last", c.Last, maxName}, {"reference", c.Reference, maxName}, {"due", c.Due, maxName}, {"bar", c.Bar, maxName}, {"tape", c.Tape, maxName}, {"doubt", c.Doubt, maxName},
		{"text", c.Text, maxText}, {"reason", c.Reason, maxText},
	} {
		if err := checkText(f.name, f.text, f.most); err != nil {
			return err
		}
	}
	return nil
}

// openBatch is the batch being measured.
func (b *Bench) openBatch() (*batch, error) {
	if o := b.state.open(); o != nil {
		return o, nil
	}
	return nil, problem(CodeNoBatch, "batch", "open a batch first", "no batch is open on bench %q", b.cfg.Bench)
}

// ribFor is the rib that the command names, else the current one, at the version it names.
func (b *Bench) ribFor(c Command) (*batch, *rib, error) {
	o, err := b.openBatch()
	if err != nil {
		return nil, nil, err
	}
	r := o.current
	if c.Rib != "" {
		if r = o.rib(c.Rib); r == nil {
			return nil, nil, problem(CodeUnknown, "rib", "start it, or give the number of one that is there", "batch %q has no rib %q", o.body.ID, c.Rib)
		}
	}
	if r == nil {
		return nil, nil, problem(CodeNoRib, "rib", "start a rib first", "no rib is on bench %q", b.cfg.Bench)
	}
	return o, r, b.atVersion(o, r, c)
}

// atVersion refuses a command that was decided on an older view of the rib.
func (b *Bench) atVersion(o *batch, r *rib, c Command) error {
	if c.Version == 0 || c.Version == r.version {
		return nil
	}
	e := problem(CodeConflict, "version", "look at what is there now and decide again",
		"rib %q has moved on: this was decided at record %d and the rib is at record %d", r.ID, c.Version, r.version)
	e.Yours, e.Now = c.Version, r.version
	e.YourValue = c.Text
	e.ValueThen = lastOf(o, r, qc.CharID(c.Char))
	return e
}

// lastOf says what the rib has for a characteristic, or its last measurement.
func lastOf(o *batch, r *rib, id qc.CharID) string {
	var last *qc.Measurement
	for i := range r.Measurements {
		m := &r.Measurements[i]
		if m.Counts() && (id == "" || m.Char == id) {
			last = m
		}
	}
	if last == nil {
		return "nothing"
	}
	c, _ := o.target.Characteristic(last.Char)
	return c.Label() + " " + last.Value.String() + " mm"
}

// charFor is the characteristic that the command names, else the next one of the rib's round.
func charFor(o *batch, r *rib, c Command) (qc.Characteristic, error) {
	if c.Char != "" {
		ch, ok := o.targetOf(r).Characteristic(qc.CharID(c.Char))
		if !ok {
			return ch, problem(CodeUnknown, "char", "name one of its round", "target %q has no characteristic %q", o.target.Name, c.Char)
		}
		return ch, nil
	}
	ch, ok := r.Next(o.targetOf(r))
	if !ok {
		return ch, problem(CodeComplete, "char", "start the next rib, or measure one characteristic again", "the round of rib %q has nothing left to measure", r.ID)
	}
	return ch, nil
}

// now is the time for a record.
func (b *Bench) now() time.Time { return b.cfg.Now() }
