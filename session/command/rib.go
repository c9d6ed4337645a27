package command

import (
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// Start starts a rib.
type Start struct {
	Rib  string `json:"rib" need:"no" most:"120" doc:"its number; the next one when left out"`
	Lot  string `json:"lot" need:"no" most:"120" doc:"its lot; that of the next rib when left out"`
	Text string `json:"text" need:"no" most:"2000" lines:"yes" doc:"length of its bar, where it was measured"`
}

func (Start) op() Op { return "start" }

func startRib(d *Desk, s Sent, c Start) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	id := c.Rib
	if id == "" {
		id = nextNumber(o)
	} else if o.Rib(id) != nil {
		return log.Event{}, words.Problem(words.CodeExists, "rib", "choose it, or give another number",
			"batch %q has a rib %q already", o.Body.ID, id)
	}
	lot := o.Lot
	if c.Lot != "" {
		lot = c.Lot
	}
	if _, ok := d.Book.Lot(lot); !ok {
		return log.Event{}, words.Problem(words.CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", lot)
	}
	var bar length.Length
	if c.Text != "" {
		if bar, err = length.Parse(c.Text, length.Options{DefaultUnit: length.MM}); err == nil {
			err = o.Target.CheckBar(bar)
		}
		if err != nil {
			return log.Event{}, words.Problem(words.CodeBadValue, "text", "measure the whole bar again, or start the rib without its length",
				"start rib %q: %v", id, err)
		}
	}
	return log.Event{Kind: log.RibStarted, Body: log.RibBody{Batch: o.Body.ID, Rib: id, Lot: lot, Jig: o.Jig, Order: len(o.Ribs) + 1, BarLengthNM: int64(bar),
		By: s.By, Keyed: s.keyed()}}, nil
}

// nextNumber is the first number from the count of ribs on that no rib has: 01, 02, ...
func nextNumber(o *book.Batch) string {
	for n := len(o.Ribs) + 1; ; n++ {
		if id := fmt.Sprintf("%02d", n); o.Rib(id) == nil {
			return id
		}
	}
}

// Choose makes an earlier rib the current one.
type Choose struct {
	Rib string `json:"rib" most:"120" doc:"the rib"`
}

func (Choose) op() Op { return "choose" }

func chooseRib(d *Desk, s Sent, c Choose) (log.Event, error) {
	if c.Rib == "" {
		return log.Event{}, words.Problem(words.CodeMissing, "rib", "name the rib", "choose needs a rib")
	}
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return log.Event{}, err
	}
	return log.Event{Kind: log.RibChosen, Body: log.RibChosenBody{Rib: r.ID, By: s.By, Keyed: s.keyed()}}, nil
}

// Again measures a characteristic again: its values no longer count.
type Again struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Char   string `json:"char" most:"120" doc:"the characteristic"`
	Reason string `json:"reason" most:"2000" doc:"why"`
	Seq    int64  `json:"seq" need:"no" least:"0" doc:"a held value that is thrown out with the others"`
}

func (Again) op() Op { return "again" }

func measureAgain(d *Desk, s Sent, c Again) (log.Event, error) {
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if err != nil {
		return log.Event{}, err
	}
	if c.Char == "" {
		return log.Event{}, words.Problem(words.CodeMissing, "char", "name the characteristic to measure again", "again needs a characteristic")
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return log.Event{}, err
	}
	if err := needReason(c.Reason, "measuring "+ch.Label()+" again"); err != nil {
		return log.Event{}, err
	}
	var seqs []int64
	for _, m := range r.Counted(ch.ID) {
		seqs = append(seqs, m.Seq)
	}
	if len(seqs) == 0 {
		return log.Event{}, words.Problem(words.CodeSettled, "char", "measure it", "%s of rib %q has no value in this round", ch.Label(), r.ID)
	}
	if c.Seq != 0 {
		h, err := waiting(o, c.Seq)
		if err != nil {
			return log.Event{}, err
		}
		if h.Study != "" || h.Rib != r.ID || h.Char != string(ch.ID) {
			return log.Event{}, words.Problem(words.CodeBadValue, "seq", "throw it out by itself",
				"held value %d is not one of %s of rib %q", c.Seq, ch.Label(), r.ID)
		}
	}
	return log.Event{Kind: log.Reopened, Body: log.ReopenedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Replaces: seqs, Held: c.Seq, Reason: c.Reason,
		By: s.By, Keyed: s.keyed()}}, nil
}

// Undo withdraws the last value of a rib's round, or of the study that runs.
type Undo struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (Undo) op() Op { return "undo" }

func undo(d *Desk, s Sent, c Undo) (log.Event, error) {
	if st, _, runs := d.Book.RunningStudy(); runs {
		return undoInStudy(s, c, st)
	}
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return log.Event{}, err
	}
	for _, m := range slices.Backward(r.Measurements) {
		if m.Counts() && m.Round == r.Round {
			reason := c.Reason
			if reason == "" {
				reason = "undone"
			}
			return log.Event{Kind: log.Voided, Body: log.VoidedBody{Seq: m.Seq, Reason: reason, Undo: true, By: s.By, Keyed: s.keyed()}}, nil
		}
	}
	return log.Event{}, words.Problem(words.CodeSettled, "rib", "to withdraw a value of another rib or round, void it by its number",
		"rib %q has no value to undo in this round", r.ID)
}

// Void withdraws a measurement.
type Void struct {
	Seq    int64  `json:"seq" least:"0" doc:"record of the measurement"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (Void) op() Op { return "void" }

func void(d *Desk, s Sent, c Void) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if err := needReason(c.Reason, "voiding a measurement"); err != nil {
		return log.Event{}, err
	}
	if st, i := o.StudyReading(c.Seq); st != nil {
		return d.voidInStudy(s, c, st, i)
	}
	for _, r := range o.Ribs {
		m := r.Measurement(c.Seq)
		if m == nil {
			continue
		}
		if !m.Counts() {
			return log.Event{}, words.Problem(words.CodeSettled, "seq", "", "measurement %d of rib %q does not count any more", c.Seq, r.ID)
		}
		if e := atVersion(o, r, s, ""); e != nil {
			return log.Event{}, e
		}
		return log.Event{Kind: log.Voided, Body: log.VoidedBody{Seq: c.Seq, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
	}
	return log.Event{}, words.Problem(words.CodeUnknown, "seq", "give the number of a measurement of this batch",
		"batch %q has no measurement %d", o.Body.ID, c.Seq)
}

// Skip leaves a characteristic out of a round.
type Skip struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Char   string `json:"char" need:"no" most:"120" doc:"the characteristic; the next one of its round when left out"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (Skip) op() Op { return "skip" }

func skip(d *Desk, s Sent, c Skip) (log.Event, error) {
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if err != nil {
		return log.Event{}, err
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return log.Event{}, err
	}
	if err := needReason(c.Reason, "skipping "+ch.Label()); err != nil {
		return log.Event{}, err
	}
	if len(r.Counted(ch.ID)) >= ch.Repeats {
		return log.Event{}, words.Problem(words.CodeComplete, "char", "measure it again, or void its value",
			"%s of rib %q is measured", ch.Label(), r.ID)
	}
	if r.SkippedNow(ch.ID) {
		return log.Event{}, words.Problem(words.CodeSettled, "char", "", "%s of rib %q is skipped already", ch.Label(), r.ID)
	}
	return log.Event{Kind: log.Skipped, Body: log.SkippedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Reason: c.Reason, By: s.By, Keyed: s.keyed()}}, nil
}

// Round starts a fresh round on a rib.
type Round struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Reason string `json:"reason" most:"2000" doc:"why"`
	Jig    string `json:"jig" need:"no" most:"120" doc:"the set-up, when the bar was wrapped again"`
}

func (Round) op() Op { return "round" }

func newRound(d *Desk, s Sent, c Round) (log.Event, error) {
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return log.Event{}, err
	}
	if err := needReason(c.Reason, "a fresh round"); err != nil {
		return log.Event{}, err
	}
	if _, ok := d.Book.Jig(c.Jig); c.Jig != "" && !ok {
		return log.Event{}, words.Problem(words.CodeUnknown, "jig", "enter it first", "jig %q is not on record", c.Jig)
	}
	return log.Event{Kind: log.RoundStarted, Body: log.RoundBody{Rib: r.ID, Round: r.Round + 1, Reason: c.Reason, Jig: c.Jig, By: s.By, Keyed: s.keyed()}}, nil
}

// Pull records a correction.
type Pull struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Before string `json:"before" need:"no" most:"120" doc:"the tips before; as measured when left out"`
	Loaded string `json:"loaded" most:"120" doc:"the tips under load"`
	Gauge  string `json:"gauge" need:"no" most:"120" doc:"the gauge; one that is bound to it when left out"`
}

func (Pull) op() Op { return "pull" }

// pull records a correction for later learning: tips before, under load.
func pull(d *Desk, s Sent, c Pull) (log.Event, error) {
	o, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return log.Event{}, err
	}
	ch, ok := o.TargetOf(r).Characteristic(qc.Tip)
	if !ok {
		return log.Event{}, words.Problem(words.CodeUnknown, "char", "", "target %q has no tip-to-tip to pull", o.Target.Name)
	}
	g, err := d.gaugeFor(c.Gauge, ch)
	if err != nil {
		return log.Event{}, err
	}
	body := log.PulledBody{Rib: r.ID, Gauge: g.ID, By: s.By, Keyed: s.keyed()}
	before := c.Before
	if before == "" {
		d, ok := r.Deviation(ch)
		if !ok {
			return log.Event{}, words.Problem(words.CodeMissing, "before", "measure tip-to-tip first, or give it",
				"the tip-to-tip of rib %q before the pull is not known", r.ID)
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
			return log.Event{}, badText(f.name, f.text, "the tips "+f.name+" the pull", err)
		}
		*f.into = int64(e.Length)
	}
	if body.BeforeNM == body.LoadedNM || body.BeforeNM <= 0 || body.LoadedNM <= -int64(o.Target.BarLength()) {
		return log.Event{}, words.Problem(words.CodeBadValue, "loaded", "give the tip-to-tip while the rib is held under load",
			"tips at %s mm before and %s mm under load are no pull", length.Length(body.BeforeNM), length.Length(body.LoadedNM))
	}
	return log.Event{Kind: log.Pulled, Body: body}, nil
}

// NextLot sets the lot of the next rib.
type NextLot struct {
	Lot string `json:"lot" most:"120" doc:"the lot"`
}

func (NextLot) op() Op { return "lot" }

func nextLot(d *Desk, s Sent, c NextLot) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if _, ok := d.Book.Lot(c.Lot); !ok {
		return log.Event{}, words.Problem(words.CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", c.Lot)
	}
	return log.Event{Kind: log.NextSet, Body: log.NextSetBody{Batch: o.Body.ID, Lot: c.Lot, By: s.By, Keyed: s.keyed()}}, nil
}

// NextJig sets the jig of the next rib.
type NextJig struct {
	Jig string `json:"jig" most:"120" doc:"the set-up"`
}

func (NextJig) op() Op { return "jig" }

func nextJig(d *Desk, s Sent, c NextJig) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if _, ok := d.Book.Jig(c.Jig); !ok {
		return log.Event{}, words.Problem(words.CodeUnknown, "jig", "enter the jig first", "jig %q is not on record", c.Jig)
	}
	return log.Event{Kind: log.NextSet, Body: log.NextSetBody{Batch: o.Body.ID, Jig: c.Jig, By: s.By, Keyed: s.keyed()}}, nil
}

// Note puts a remark on the report.
type Note struct {
	Text string `json:"text" most:"2000" lines:"yes" doc:"the remark"`
	Rib  string `json:"rib" need:"no" most:"120" doc:"the rib that it is about"`
}

func (Note) op() Op { return "note" }

func note(d *Desk, s Sent, c Note) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if c.Text == "" {
		return log.Event{}, words.Problem(words.CodeMissing, "text", "write what is to be noted", "the note is empty")
	}
	if c.Rib != "" && o.Rib(c.Rib) == nil {
		return log.Event{}, words.Problem(words.CodeUnknown, "rib", "", "batch %q has no rib %q", o.Body.ID, c.Rib)
	}
	return log.Event{Kind: log.Noted, Body: log.NotedBody{Batch: o.Body.ID, Rib: c.Rib, Text: c.Text, By: s.By, Keyed: s.keyed()}}, nil
}

// CloseBatch closes the open batch.
type CloseBatch struct{}

func (CloseBatch) op() Op { return "close" }

func closeBatch(d *Desk, s Sent, c CloseBatch) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	if n := o.Waiting(); n > 0 {
		return log.Event{}, words.Problem(words.CodeHeld, "held", "take each or throw it out, then close",
			"%d values of batch %q wait for an answer", n, o.Body.ID)
	}
	if st := d.Book.OpenStudy(); st != nil {
		return log.Event{}, words.Problem(words.CodeHeld, "study", "finish it or cancel it, then close",
			"gauge study %q of batch %q is open", st.ID, o.Body.ID)
	}
	return log.Event{Kind: log.BatchClosed, Body: log.BatchClosedBody{Batch: o.Body.ID, By: s.By, Keyed: s.keyed()}}, nil
}
