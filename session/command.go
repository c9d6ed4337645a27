package session

import (
	"reflect"

	"springline/qc/strict"
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

	print string // of the deed, once it is being carried out
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
	As     []EventKind
	Fields []strict.Field

	none   Deed // with nothing in it
	read   func(strict.Object) (Order, error)
	decide func(*Desk, Sent, Deed) (event, error)
}

// event is a decision to record something.
type event struct {
	kind EventKind
	body any
}

// verb makes the row of a verb from its decider, which looks at the deed and at what is on record, and says what
// to record.
func verb[D Deed](of Thing, from Reach, decide func(*Desk, Sent, D) (event, error), as ...EventKind) Row {
	var none D
	return Row{
		Op: none.op(), Of: of, From: from, As: as, Fields: strict.Fields(reflect.TypeFor[D]()), none: none,
		read: func(o strict.Object) (Order, error) {
			var named struct {
				Op string `json:"op"`
			}
			var s Sent
			var d D
			err := o.Fill(&named, &s, &d)
			return Order{s, d}, err
		},
		decide: func(k *Desk, s Sent, d Deed) (event, error) {
			if err := k.seen(of, s, none.op()); err != nil {
				return event{}, err
			}
			return decide(k, s, d.(D))
		},
	}
}

// Table has a row for every verb.
var Table = []Row{
	verb(OfNothing, Page, startRib, RibStarted),
	verb(OfRib, Page, chooseRib, RibChosen),
	verb(OfRib, Page, typed, Measured, Held, StudyMeasured),
	verb(OfRib, Page, measureAgain, Reopened),
	verb(OfRib, Page, undo, Voided),
	verb(OfRib, Page, void, Voided),
	verb(OfRib, Page, skip, Skipped),
	verb(OfRib, Page, newRound, RoundStarted),
	verb(OfRib, Page, take, Measured, StudyMeasured),
	verb(OfNothing, Page, discard, HeldDiscarded),
	verb(OfRib, Page, pull, Pulled),
	verb(OfNothing, Page, nextLot, NextSet),
	verb(OfNothing, Beside, nextJig, NextSet),
	verb(OfNothing, Page, jigBuilt, NextSet),
	verb(OfNothing, Beside, note, Noted),
	verb(OfNothing, Page, closeBatch, BatchClosed),
	verb(OfNothing, Page, readTemperature, TemperatureSet),

	verb(OfPairs, Page, confirmPairs, PairsConfirmed),
	verb(OfPairs, Page, confirmOrder, OrderConfirmed),
	verb(OfPairs, Beside, changePairRule, PairRuleSet),
	verb(OfPairs, Page, lockPair, PairLocked),
	verb(OfPairs, Page, releasePair, PairReleased),
	verb(OfPairs, Page, forbidPair, PairForbidden),
	verb(OfPairs, Beside, allowPair, PairAllowed),

	verb(OfNothing, Page, startStudy, StudyStarted),
	verb(OfStudy, Page, pauseStudy, StudyPaused),
	verb(OfStudy, Page, resumeStudy, StudyResumed),
	verb(OfStudy, Page, cancelStudy, StudyCancelled),
	verb(OfStudy, Page, finishStudy, StudyFinished),

	verb(OfNothing, Beside, checkGauge, GaugeChecked),
	verb(OfNothing, Beside, setGauge, GaugeSet),
	verb(OfNothing, Beside, retireGauge, GaugeRetired),

	verb(OfNothing, Here, stateGauge, GaugeSet),
	verb(OfNothing, Here, setLot, LotSet),
	verb(OfNothing, Here, setJig, JigSet),
	verb(OfNothing, Here, setTarget, TargetSet),
	verb(OfNothing, Here, openBatch, BatchOpened),
	verb(OfNothing, Here, setPairRule, PairRuleSet),
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
