package command

import (
	"reflect"

	"springline/qc/strict"
	"springline/session/book"
	"springline/session/log"
)

// Op names a verb on the wire.
type Op string

// Sent goes with every command. Key makes it safe to send again: the same key and deed get the same answer and no
// second record. Version is that of the thing as seen when deciding (see [Thing]); one that has moved on since is
// a conflict. Zero means that the person has not looked.
type Sent struct {
	Key     string `json:"key" need:"no" most:"100" doc:"a name of its own, so that sending it again is harmless"`
	Version int64  `json:"version" need:"no" least:"0" doc:"the version that was seen"`
	By      string `json:"by" need:"no" most:"120" doc:"who does it"`

	Print string // of the deed, once it is being carried out
}

// Deed is what is to be done: one struct for every verb.
type Deed interface{ op() Op }

// Order is one thing that a person wants done.
type Order struct {
	Sent
	Deed Deed
}

// Op names what the order is for, empty when it is for nothing.
func (o Order) Op() Op {
	if o.Deed == nil {
		return ""
	}
	return o.Deed.op()
}

// Thing says of what a command's version is.
type Thing int

// A version is the record number that changed the thing last: of a rib, of the gauge study that is open. Of the
// pairs any number will do that is not before what was decided last about them. Where it is of nothing, none may
// be given.
const (
	OfNothing Thing = iota
	OfRib
	OfStudy
	OfPairs
)

// Reach says from where a verb may come.
type Reach int

// A verb is reached from the page, from the command line beside a running bench too, or within this program only.
const (
	Here Reach = iota
	Beside
	Page
)

// Row is one verb: what it is called, what its version is of, from where it may come, what it may be recorded as
// and which fields it takes.
type Row struct {
	Op     Op
	Of     Thing
	From   Reach
	As     []log.Kind
	Fields []strict.Field

	None Deed // with nothing in it
	read func(strict.Object) (Order, error)
	// Decide gives what to record, or says why nothing is.
	Decide func(*Desk, Sent, Deed) (log.Event, error)
}

// verb makes the row of a verb from its decider, which looks at the deed and at what is on record, and says what
// to record.
func verb[D Deed](of Thing, from Reach, decide func(*Desk, Sent, D) (any, error), as ...log.Kind) Row {
	var none D
	return Row{
		Op: none.op(), Of: of, From: from, As: as, Fields: strict.Fields(reflect.TypeFor[D]()), None: none,
		read: func(o strict.Object) (Order, error) {
			var named struct {
				Op string `json:"op"`
			}
			var s Sent
			var d D
			err := o.Fill(&named, &s, &d)
			return Order{s, d}, err
		},
		Decide: func(k *Desk, s Sent, d Deed) (log.Event, error) {
			if err := k.seen(of, s, none.op()); err != nil {
				return log.Event{}, err
			}
			body, err := decide(k, s, d.(D))
			kind := as[0]
			switch body.(type) { // what becomes of a value is seen when it is looked at
			case log.HeldBody:
				kind = log.Held
			case log.StudyMeasuredBody:
				kind = log.StudyMeasured
			}
			return log.Event{Kind: kind, Body: body}, err
		},
	}
}

// inBatch gives a decider the batch that is open.
func inBatch[D Deed](decide func(*Desk, *book.Batch, Sent, D) (any, error)) func(*Desk, Sent, D) (any, error) {
	return func(d *Desk, s Sent, c D) (any, error) {
		o, err := d.openBatch()
		if err != nil {
			return nil, err
		}
		return decide(d, o, s, c)
	}
}

// inStudy gives a decider the gauge study that is open, at the version that was seen.
func inStudy[D Deed](decide func(*Desk, *book.Study, Sent, D) (any, error)) func(*Desk, Sent, D) (any, error) {
	return func(d *Desk, s Sent, c D) (any, error) {
		st, err := d.studyFor(s)
		if err != nil {
			return nil, err
		}
		return decide(d, st, s, c)
	}
}

// Table has a row for every verb.
var Table = []Row{
	verb(OfNothing, Page, inBatch(startRib), log.RibStarted),
	verb(OfRib, Page, chooseRib, log.RibChosen),
	verb(OfRib, Page, typed, log.Measured, log.Held, log.StudyMeasured),
	verb(OfRib, Page, measureAgain, log.Reopened),
	verb(OfRib, Page, undo, log.Voided),
	verb(OfRib, Page, inBatch(void), log.Voided),
	verb(OfRib, Page, skip, log.Skipped),
	verb(OfRib, Page, newRound, log.RoundStarted),
	verb(OfRib, Page, inBatch(take), log.Measured, log.StudyMeasured),
	verb(OfNothing, Page, inBatch(discard), log.HeldDiscarded),
	verb(OfRib, Page, pull, log.Pulled),
	verb(OfNothing, Page, inBatch(nextLot), log.NextSet),
	verb(OfNothing, Beside, inBatch(nextJig), log.NextSet),
	verb(OfNothing, Page, inBatch(jigBuilt), log.NextSet),
	verb(OfNothing, Beside, inBatch(note), log.Noted),
	verb(OfNothing, Page, inBatch(closeBatch), log.BatchClosed),
	verb(OfNothing, Page, inBatch(readTemperature), log.TemperatureSet),

	verb(OfPairs, Page, inBatch(confirmPairs), log.PairsConfirmed),
	verb(OfPairs, Page, inBatch(confirmOrder), log.OrderConfirmed),
	verb(OfPairs, Beside, inBatch(changePairRule), log.PairRuleSet),
	verb(OfPairs, Page, lockPair, log.PairLocked),
	verb(OfPairs, Page, releasePair, log.PairReleased),
	verb(OfPairs, Page, forbidPair, log.PairForbidden),
	verb(OfPairs, Beside, allowPair, log.PairAllowed),

	verb(OfNothing, Page, inBatch(startStudy), log.StudyStarted),
	verb(OfStudy, Page, inStudy(pauseStudy), log.StudyPaused),
	verb(OfStudy, Page, inStudy(resumeStudy), log.StudyResumed),
	verb(OfStudy, Page, inStudy(cancelStudy), log.StudyCancelled),
	verb(OfStudy, Page, inStudy(finishStudy), log.StudyFinished),

	verb(OfNothing, Beside, checkGauge, log.GaugeChecked),
	verb(OfNothing, Beside, setGauge, log.GaugeSet),
	verb(OfNothing, Beside, retireGauge, log.GaugeRetired),

	verb(OfNothing, Here, stateGauge, log.GaugeSet),
	verb(OfNothing, Here, setLot, log.LotSet),
	verb(OfNothing, Here, setJig, log.JigSet),
	verb(OfNothing, Here, setTarget, log.TargetSet),
	verb(OfNothing, Here, openBatch, log.BatchOpened),
	verb(OfNothing, Here, setPairRule, log.PairRuleSet),
}

// Row is the row of a verb.
func (op Op) Row() (Row, bool) {
	for _, r := range Table {
		if r.Op == op {
			return r, true
		}
	}
	return Row{}, false
}
