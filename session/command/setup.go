package command

import (
	"reflect"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
)

// What a job file states. A statement of what is on record just so is refused with a refusal that wraps [ErrSame].

// SetLot puts a stock lot on record, or what changed of it.
type SetLot log.LotBody

func (SetLot) op() Op { return "lot-set" }

// LotDeed states a lot.
func LotDeed(l qc.Lot) SetLot {
	return SetLot{ID: l.ID, Heat: l.Heat, Grade: l.Grade, BarLengthNM: int64(l.BarLength), Note: l.Note}
}

func setLot(d *Desk, s Sent, c SetLot) (any, error) {
	if c.ID == "" {
		return nil, words.Problem(words.CodeMissing, "lot", "", "a stock lot needs an id")
	}
	if l := length.Length(c.BarLengthNM); l < 0 || l > length.Limit {
		return nil, words.Problem(words.CodeBadValue, "bar length", "give it between zero and 100 m",
			"the bars of lot %q are %s mm long", c.ID, l)
	}
	if old, ok := d.Book.Lot(c.ID); ok && LotDeed(old) == c {
		return nil, same("lot", "stock lot %q", c.ID)
	}
	return struct {
		log.LotBody
		log.Keyed
	}{log.LotBody(c), s.keyed()}, nil
}

// SetJig puts a jig set-up on record. A set-up is never changed: a rebuilt jig takes a new id.
type SetJig log.JigBody

func (SetJig) op() Op { return "jig-set" }

// JigDeed states a jig set-up.
func JigDeed(j qc.Jig) SetJig {
	return SetJig{ID: j.ID, FaceRadiusNM: int64(j.FaceRadius), Blocks: j.Blocks, Note: j.Note}
}

func setJig(d *Desk, s Sent, c SetJig) (any, error) {
	if c.ID == "" {
		return nil, words.Problem(words.CodeMissing, "jig", "", "a jig needs an id")
	}
	if r := length.Length(c.FaceRadiusNM); r <= 0 || r > length.Limit || c.Blocks < 0 {
		return nil, words.Problem(words.CodeBadValue, "jig",
			"give the radius of the block faces above zero and at most 100 m, and the number of blocks",
			"jig %q has a face radius of %s mm and %d blocks", c.ID, r, c.Blocks)
	}
	if old, ok := d.Book.Jig(c.ID); ok && JigDeed(old) == c {
		return nil, same("jig", "jig %q", c.ID)
	} else if ok {
		return nil, words.Problem(words.CodeExists, "jig", "give the rebuilt jig a new id", "jig %q is on record with other sizes", c.ID)
	}
	return struct {
		log.JigBody
		log.Keyed
	}{log.JigBody(c), s.keyed()}, nil
}

// SetTarget puts a revision of a target on record. A revision is never changed.
type SetTarget log.TargetBody

func (SetTarget) op() Op { return "target-set" }

// TargetDeed states a target.
func TargetDeed(t qc.Target) SetTarget { return SetTarget(log.Target(t)) }

func setTarget(d *Desk, s Sent, c SetTarget) (any, error) {
	if err := log.TargetBody(c).Target().Validate(); err != nil {
		return nil, words.Refused("target", err)
	}
	if old, ok := d.Book.Target(c.ID, c.Revision); ok && reflect.DeepEqual(TargetDeed(old), c) {
		return nil, same("target", "target %q", c.ID)
	} else if ok {
		return nil, words.Problem(words.CodeExists, "revision", "give the changed target a new revision",
			"target %q revision %d is on record and differs", c.ID, c.Revision)
	}
	return struct {
		log.TargetBody
		log.Keyed
	}{log.TargetBody(c), s.keyed()}, nil
}

// OpenBatch opens a batch, once its tolerances can be proven with the gauges on record: where they cannot, the
// refusal wraps the *qc.CannotProveError.
type OpenBatch log.BatchBody

func (OpenBatch) op() Op { return "batch-open" }

// BatchSetup opens a batch.
type BatchSetup struct {
	ID, Title, Place, Maker string
	Planned                 int
	Target                  string
	Revision                int
	Decision                qc.Decision
	Jig, Lot                string // of the first rib
	CheckedOnly             bool   // values of gauges whose check is not in date wait
}

// Deed opens the batch.
func (n BatchSetup) Deed() OpenBatch {
	return OpenBatch{
		ID: n.ID, Title: n.Title, Place: n.Place, Maker: n.Maker, Planned: n.Planned, Target: n.Target, Revision: n.Revision,
		Rule: string(n.Decision.Rule), Confidence: n.Decision.Confidence, TempHalfWidthK: n.Decision.Conditions.TemperatureHalfWidthK,
		FaceHalfWidthNM: int64(n.Decision.Conditions.FaceHalfWidth), Jig: n.Jig, Lot: n.Lot, CheckedOnly: n.CheckedOnly,
	}
}

func openBatch(d *Desk, s Sent, c OpenBatch) (any, error) {
	body := log.BatchBody(c)
	decision := body.Decision()
	if c.ID == "" {
		return nil, words.Problem(words.CodeMissing, "batch", "", "a batch needs an id")
	}
	if err := decision.Validate(); err != nil {
		return nil, words.Refused("rule", err)
	}
	if c.Planned < 0 || c.Planned > 100_000 {
		return nil, words.Problem(words.CodeBadValue, "planned", "", "%d ribs planned for batch %q; give 0 to 100000", c.Planned, c.ID)
	}
	if c.FaceHalfWidthNM < 0 {
		return nil, words.Problem(words.CodeBadValue, "face", "", "the doubt about the face measured is below zero")
	}
	if o := d.Book.Open(); o != nil && o.Body == body {
		return nil, same("batch", "batch %q", c.ID)
	} else if o != nil {
		return nil, words.Problem(words.CodeExists, "batch", "close it first", "batch %q is open on this bench", o.Body.ID)
	}
	for _, o := range d.Book.Batches {
		if o.Body.ID == c.ID {
			return nil, words.Problem(words.CodeExists, "batch", "give the new batch another id",
				"batch %q was there before and is closed", c.ID)
		}
	}
	t, ok := d.Book.Target(c.Target, c.Revision)
	if !ok {
		return nil, words.Problem(words.CodeUnknown, "target", "enter it first",
			"target %q revision %d is not on record", c.Target, c.Revision)
	}
	if _, ok := d.Book.Lot(c.Lot); !ok {
		return nil, words.Problem(words.CodeUnknown, "lot", "enter it first", "stock lot %q is not on record", c.Lot)
	}
	if _, ok := d.Book.Jig(c.Jig); !ok {
		return nil, words.Problem(words.CodeUnknown, "jig", "enter it first", "jig %q is not on record", c.Jig)
	}
	if err := t.CheckProvable(d.Book.QcGauges(), decision); err != nil {
		e := words.Problem(words.CodeUnprovable, "target", "", "open batch %q: %v", c.ID, err)
		e.Err = err
		return nil, e
	}
	return struct {
		log.BatchBody
		log.Keyed
	}{body, s.keyed()}, nil
}

// same refuses a statement of what is on record.
func same(field, what string, id string) error {
	e := words.Problem(words.CodeExists, field, "nothing is to be done", what+" is on record just so", id)
	e.Err = ErrSame
	return e
}
