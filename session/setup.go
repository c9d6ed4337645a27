package session

import (
	"context"
	"reflect"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// GaugeSetup is a gauge and how it is connected.
type GaugeSetup struct {
	qc.Gauge
	Address string // empty for a gauge that is read by a person and typed
	Format  string // wire format as JSON text
	Channel string // as its frames name it, where several gauges share a line
	Line    string // how its serial line is set, such as 9600 8N1; empty for that
}

func measuredWith(s *state, id string) bool {
	for _, o := range s.batches {
		for _, st := range o.studies {
			if st.Gauge == id {
				return true
			}
		}
		for _, r := range o.ribs {
			for _, m := range r.Measurements {
				if m.Gauge == id {
					return true
				}
			}
		}
	}
	return false
}

// SetLot puts a stock lot on record, or what changed of it.
func (b *Bench) SetLot(ctx context.Context, l qc.Lot) error {
	if l.ID == "" {
		return problem(CodeMissing, "lot", "", "a stock lot needs an id")
	}
	if l.BarLength < 0 || l.BarLength > length.Limit {
		return problem(CodeBadValue, "bar length", "give it between zero and 100 m", "the bars of lot %q are %s mm long", l.ID, l.BarLength)
	}
	if err := firstError(checkText("id", l.ID, maxName), checkText("heat", l.Heat, maxName), checkText("grade", l.Grade, maxName), checkText("text", l.Note, maxText)); err != nil {
		return err
	}
	body := LotBody{ID: l.ID, Heat: l.Heat, Grade: l.Grade, BarLengthNM: int64(l.BarLength), Note: l.Note}
	return b.set(ctx, LotSet, body, func(s *state) (bool, error) {
		old, ok := s.lot(l.ID)
		return ok && old == l, nil
	})
}

// SetJig puts a jig set-up on record. A set-up is never changed: a rebuilt jig takes a new id.
func (b *Bench) SetJig(ctx context.Context, j qc.Jig) error {
	if j.ID == "" {
		return problem(CodeMissing, "jig", "", "a jig needs an id")
	}
	if j.FaceRadius <= 0 || j.FaceRadius > length.Limit || j.Blocks < 0 {
		return problem(CodeBadValue, "jig", "give the radius of the block faces above zero and at most 100 m, and the number of blocks", "jig %q has a face radius of %s mm and %d blocks", j.ID, j.FaceRadius, j.Blocks)
	}
	if err := firstError(checkText("id", j.ID, maxName), checkText("text", j.Note, maxText)); err != nil {
		return err
	}
	body := JigBody{ID: j.ID, FaceRadiusNM: int64(j.FaceRadius), Blocks: j.Blocks, Note: j.Note}
	return b.set(ctx, JigSet, body, func(s *state) (bool, error) {
		old, ok := s.jig(j.ID)
		if !ok {
			return false, nil
		}
		if old.FaceRadius == j.FaceRadius && old.Blocks == j.Blocks && old.Note == j.Note {
			return true, nil
		}
		return false, problem(CodeExists, "jig", "give the rebuilt jig a new id", "jig %q is on record with other sizes", j.ID)
	})
}

// SetTarget puts a revision of a target on record. A revision is never changed.
func (b *Bench) SetTarget(ctx context.Context, t qc.Target) error {
	if err := t.Validate(); err != nil {
		return refused("target", err)
	}
	if err := firstError(checkText("id", t.ID, maxName), checkText("name", t.Name, maxName), checkText("grade", t.Bar.Grade, maxName)); err != nil {
		return err
	}
	body := targetBody(t)
	return b.set(ctx, TargetSet, body, func(s *state) (bool, error) {
		old, ok := s.target(t.ID, t.Revision)
		if !ok {
			return false, nil
		}
		if reflect.DeepEqual(targetBody(old), body) {
			return true, nil
		}
		return false, problem(CodeExists, "revision", "give the changed target a new revision", "target %q revision %d is on record and differs", t.ID, t.Revision)
	})
}

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

// OpenBatch opens a batch, once its tolerances can be proven with the gauges on record: where they
// cannot, the *words.Refusal wraps the *qc.CannotProveError.
func (b *Bench) OpenBatch(ctx context.Context, n BatchSetup) error {
	if n.ID == "" {
		return problem(CodeMissing, "batch", "", "a batch needs an id")
	}
	if err := n.Decision.Validate(); err != nil {
		return refused("rule", err)
	}
	if n.Planned < 0 || n.Planned > 100_000 {
		return problem(CodeBadValue, "planned", "", "%d ribs planned for batch %q; give 0 to 100000", n.Planned, n.ID)
	}
	if n.Decision.Conditions.FaceHalfWidth < 0 {
		return problem(CodeBadValue, "face", "", "the doubt about the face measured is below zero")
	}
	if err := firstError(checkText("id", n.ID, maxName), checkText("title", n.Title, maxName), checkText("place", n.Place, maxName), checkText("maker", n.Maker, maxName)); err != nil {
		return err
	}
	body := BatchBody{
		ID: n.ID, Title: n.Title, Place: n.Place, Maker: n.Maker, Planned: n.Planned, Target: n.Target, Revision: n.Revision,
		Rule: string(n.Decision.Rule), Confidence: n.Decision.Confidence, TempHalfWidthK: n.Decision.Conditions.TemperatureHalfWidthK,
		FaceHalfWidthNM: int64(n.Decision.Conditions.FaceHalfWidth), Jig: n.Jig, Lot: n.Lot, CheckedOnly: n.CheckedOnly,
	}
	return b.set(ctx, BatchOpened, body, func(s *state) (bool, error) {
		if o := s.open(); o != nil && o.body.ID == n.ID && o.body == body {
			return true, nil
		} else if o != nil {
			return false, problem(CodeExists, "batch", "close it first", "batch %q is open on this bench", o.body.ID)
		}
		for _, o := range s.batches {
			if o.body.ID == n.ID {
				return false, problem(CodeExists, "batch", "give the new batch another id", "batch %q was there before and is closed", n.ID)
			}
		}
		t, ok := s.target(n.Target, n.Revision)
		if !ok {
			return false, problem(CodeUnknown, "target", "enter it first", "target %q revision %d is not on record", n.Target, n.Revision)
		}
		if _, ok := s.lot(n.Lot); !ok {
			return false, problem(CodeUnknown, "lot", "enter it first", "stock lot %q is not on record", n.Lot)
		}
		if _, ok := s.jig(n.Jig); !ok {
			return false, problem(CodeUnknown, "jig", "enter it first", "jig %q is not on record", n.Jig)
		}
		if err := t.CheckProvable(s.qcGauges(), n.Decision); err != nil {
			e := problem(CodeUnprovable, "target", "", "open batch %q: %v", n.ID, err)
			e.Err = err
			return false, e
		}
		return false, nil
	})
}

// SetPairRule states how the ribs of the open batch are paired. Setting what is in force records nothing.
func (b *Bench) SetPairRule(ctx context.Context, r qc.PairRule) error {
	if err := r.Validate(); err != nil {
		return refused("pairing", err)
	}
	b.mu.Lock()
	o := b.state.open()
	b.mu.Unlock()
	if o == nil {
		return problem(CodeNoBatch, "batch", "open a batch first", "set the pairing rule: no batch is open")
	}
	return b.set(ctx, PairRuleSet, pairRuleBody(o.body.ID, r, Command{}), func(s *state) (bool, error) {
		return s.batch != nil && s.batch.pairing.ruleOr() == r, nil
	})
}

// CloseBatch closes the open batch.
func (b *Bench) CloseBatch(ctx context.Context, by string) error {
	_, err := b.Do(ctx, Command{Op: OpClose, By: by})
	return err
}

// set records body unless check finds it there already or refuses it.
func (b *Bench) set(ctx context.Context, kind EventKind, body any, check func(*state) (there bool, err error)) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := b.writable(); err != nil {
		return err
	}
	there, err := check(b.state)
	if err != nil || there {
		return err
	}
	_, err = b.add(kind, "", b.now(), body)
	return err
}

// refused makes a refusal of what a domain rule refuses.
func refused(field string, err error) error { return words.Refused(field, err) }

func firstError(errs ...error) error { return words.FirstError(errs...) }
