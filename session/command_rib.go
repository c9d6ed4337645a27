package session

import (
	"fmt"
	"slices"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

func (b *Bench) start(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	id := c.Rib
	if id == "" {
		id = nextNumber(o)
	} else if o.rib(id) != nil {
		return event{}, problem(CodeExists, "rib", "choose it, or give another number", "batch %q has a rib %q already", o.body.ID, id)
	}
	lot := o.lot
	if c.Lot != "" {
		lot = c.Lot
	}
	if _, ok := b.state.lot(lot); !ok {
		return event{}, problem(CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", lot)
	}
	var bar length.Length
	if c.Text != "" {
		if bar, err = length.Parse(c.Text, length.Options{DefaultUnit: length.MM}); err == nil {
			err = o.target.CheckBar(bar)
		}
		if err != nil {
			return event{}, problem(CodeBadValue, "text", "measure the whole bar again, or start the rib without its length", "start rib %q: %v", id, err)
		}
	}
	return event{RibStarted, RibBody{Batch: o.body.ID, Rib: id, Lot: lot, Jig: o.jig, Order: len(o.ribs) + 1, BarLengthNM: int64(bar), By: c.By, Key: c.Key}}, nil
}

// nextNumber is the first number from the count of ribs on that no rib has: 01, 02, ...
func nextNumber(o *batch) string {
	for n := len(o.ribs) + 1; ; n++ {
		if id := fmt.Sprintf("%02d", n); o.rib(id) == nil {
			return id
		}
	}
}

func (b *Bench) choose(c Command) (event, error) {
	if c.Rib == "" {
		return event{}, problem(CodeMissing, "rib", "name the rib", "choose needs a rib")
	}
	_, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	return event{RibChosen, RibChosenBody{Rib: r.ID, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) again(c Command) (event, error) {
	o, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	if c.Char == "" {
		return event{}, problem(CodeMissing, "char", "name the characteristic to measure again", "again needs a characteristic")
	}
	ch, err := charFor(o, r, c)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "measuring "+ch.Label()+" again"); err != nil {
		return event{}, err
	}
	var seqs []int64
	for _, m := range r.Counted(ch.ID) {
		seqs = append(seqs, m.Seq)
	}
	if len(seqs) == 0 {
		return event{}, problem(CodeSettled, "char", "measure it", "%s of rib %q has no value in this round", ch.Label(), r.ID)
	}
	if c.Seq != 0 {
		h, err := waiting(o, c.Seq)
		if err != nil {
			return event{}, err
		}
		if h.Study != "" || h.Rib != r.ID || h.Char != string(ch.ID) {
			return event{}, problem(CodeBadValue, "seq", "throw it out by itself", "held value %d is not one of %s of rib %q", c.Seq, ch.Label(), r.ID)
		}
	}
	return event{Reopened, ReopenedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Replaces: seqs, Held: c.Seq, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) undo(c Command) (event, error) {
	if st, _, runs := b.state.runningStudy(); runs {
		return undoInStudy(c, st)
	}
	_, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	for _, m := range slices.Backward(r.Measurements) {
		if m.Counts() && m.Round == r.Round {
			reason := c.Reason
			if reason == "" {
				reason = "undone"
			}
			return event{Voided, VoidedBody{Seq: m.Seq, Reason: reason, Undo: true, By: c.By, Key: c.Key}}, nil
		}
	}
	return event{}, problem(CodeSettled, "rib", "to withdraw a value of another rib or round, void it by its number", "rib %q has no value to undo in this round", r.ID)
}

func (b *Bench) void(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "voiding a measurement"); err != nil {
		return event{}, err
	}
	if st, i := o.studyReading(c.Seq); st != nil {
		return b.voidInStudy(c, st, i)
	}
	for _, r := range o.ribs {
		m := r.measurement(c.Seq)
		if m == nil {
			continue
		}
		if !m.Counts() {
			return event{}, problem(CodeSettled, "seq", "", "measurement %d of rib %q does not count any more", c.Seq, r.ID)
		}
		if err := b.atVersion(o, r, c); err != nil {
			return event{}, err
		}
		return event{Voided, VoidedBody{Seq: c.Seq, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
	}
	return event{}, problem(CodeUnknown, "seq", "give the number of a measurement of this batch", "batch %q has no measurement %d", o.body.ID, c.Seq)
}

func (b *Bench) skip(c Command) (event, error) {
	o, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	ch, err := charFor(o, r, c)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "skipping "+ch.Label()); err != nil {
		return event{}, err
	}
	if len(r.Counted(ch.ID)) >= ch.Repeats {
		return event{}, problem(CodeComplete, "char", "measure it again, or void its value", "%s of rib %q is measured", ch.Label(), r.ID)
	}
	if r.SkippedNow(ch.ID) {
		return event{}, problem(CodeSettled, "char", "", "%s of rib %q is skipped already", ch.Label(), r.ID)
	}
	return event{Skipped, SkippedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) round(c Command) (event, error) {
	_, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "a fresh round"); err != nil {
		return event{}, err
	}
	if _, ok := b.state.jig(c.Jig); c.Jig != "" && !ok {
		return event{}, problem(CodeUnknown, "jig", "enter it first", "jig %q is not on record", c.Jig)
	}
	return event{RoundStarted, RoundBody{Rib: r.ID, Round: r.Round + 1, Reason: c.Reason, Jig: c.Jig, By: c.By, Key: c.Key}}, nil
}

// pull records a correction for later learning: tips before, under load.
func (b *Bench) pull(c Command) (event, error) {
	o, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	ch, ok := o.targetOf(r).Characteristic(qc.Tip)
	if !ok {
		return event{}, problem(CodeUnknown, "char", "", "target %q has no tip-to-tip to pull", o.target.Name)
	}
	g, err := b.gaugeFor(c, ch)
	if err != nil {
		return event{}, err
	}
	body := PulledBody{Rib: r.ID, Gauge: g.ID, By: c.By, Key: c.Key}
	before := c.Before
	if before == "" {
		d, ok := r.Deviation(ch)
		if !ok {
			return event{}, problem(CodeMissing, "before", "measure tip-to-tip first, or give it", "the tip-to-tip of rib %q before the pull is not known", r.ID)
		}
		body.BeforeNM = int64(d.Value)
	}
	for _, f := range []struct {
		name, text string
		into       *int64
	}{{"before", before, &body.BeforeNM}, {"loaded", c.Loaded, &body.LoadedNM}} {
		if f.name == "before" && before == "" {
			continue
		}
		e, err := readTyped(f.text, g, f.name == "loaded") // below zero once the legs have passed each other
		if err != nil {
			return event{}, badText(f.name, f.text, "the tips "+f.name+" the pull", err)
		}
		*f.into = int64(e.Length)
	}
	if body.BeforeNM == body.LoadedNM || body.BeforeNM <= 0 || body.LoadedNM <= -int64(o.target.BarLength()) {
		return event{}, problem(CodeBadValue, "loaded", "give the tip-to-tip while the rib is held under load", "tips at %s mm before and %s mm under load are no pull", length.Length(body.BeforeNM), length.Length(body.LoadedNM))
	}
	return event{Pulled, body}, nil
}

func (b *Bench) setLot(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if _, ok := b.state.lot(c.Lot); !ok {
		return event{}, problem(CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", c.Lot)
	}
	return event{NextSet, NextSetBody{Batch: o.body.ID, Lot: c.Lot, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) setJig(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if _, ok := b.state.jig(c.Jig); !ok {
		return event{}, problem(CodeUnknown, "jig", "enter the jig first", "jig %q is not on record", c.Jig)
	}
	return event{NextSet, NextSetBody{Batch: o.body.ID, Jig: c.Jig, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) note(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if c.Text == "" {
		return event{}, problem(CodeMissing, "text", "write what is to be noted", "the note is empty")
	}
	if c.Rib != "" && o.rib(c.Rib) == nil {
		return event{}, problem(CodeUnknown, "rib", "", "batch %q has no rib %q", o.body.ID, c.Rib)
	}
	return event{Noted, NotedBody{Batch: o.body.ID, Rib: c.Rib, Text: c.Text, By: c.By}}, nil
}

func (b *Bench) closeBatch(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if n := o.waiting(); n > 0 {
		return event{}, problem(CodeHeld, "held", "take each or throw it out, then close", "%d values of batch %q wait for an answer", n, o.body.ID)
	}
	if st := b.state.openStudy(); st != nil {
		return event{}, problem(CodeHeld, "study", "finish it or cancel it, then close", "gauge study %q of batch %q is open", st.ID, o.body.ID)
	}
	return event{BatchClosed, BatchClosedBody{Batch: o.body.ID, By: c.By}}, nil
}

func needReason(c Command, what string) error {
	if strings.TrimSpace(c.Reason) != "" {
		return nil
	}
	return problem(CodeMissing, "reason", "say why in a few words; it is printed on the report", "%s needs a reason", what)
}
