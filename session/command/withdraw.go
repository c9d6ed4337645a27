package command

import (
	"cmp"
	"slices"

	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// Again measures a characteristic again: its values no longer count.
type Again struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Char   string `json:"char" most:"120" doc:"the characteristic"`
	Reason string `json:"reason" most:"2000" doc:"why"`
	Seq    int64  `json:"seq" need:"no" least:"0" doc:"a held value that is thrown out with the others"`
}

func (Again) op() Op { return "again" }

func measureAgain(d *Desk, s Sent, c Again) (any, error) {
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if err != nil {
		return nil, err
	}
	if c.Char == "" {
		return nil, words.Problem(words.CodeMissing, "char", "name the characteristic to measure again", "again needs a characteristic")
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "measuring "+ch.Label()+" again"); err != nil {
		return nil, err
	}
	var seqs []int64
	for _, m := range r.Counted(ch.ID) {
		seqs = append(seqs, m.Seq)
	}
	if len(seqs) == 0 {
		return nil, words.Problem(words.CodeSettled, "char", "measure it", "%s of rib %q has no value in this round", ch.Label(), r.ID)
	}
	if c.Seq != 0 {
		h, err := waiting(o, c.Seq)
		if err != nil {
			return nil, err
		}
		if h.Study != "" || h.Rib != r.ID || h.Char != string(ch.ID) {
			return nil, words.Problem(words.CodeBadValue, "seq", "throw it out by itself",
				"held value %d is not one of %s of rib %q", c.Seq, ch.Label(), r.ID)
		}
	}
	return log.ReopenedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Replaces: seqs, Held: c.Seq, Reason: c.Reason,
		By: s.By, Keyed: s.keyed()}, nil
}

// Undo withdraws the last value of a rib's round, or of the study that runs.
type Undo struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Reason string `json:"reason" need:"no" most:"2000" doc:"why"`
}

// undone is the reason of an undo that gives none.
const undone = "undone"

func (Undo) op() Op { return "undo" }

func undo(d *Desk, s Sent, c Undo) (any, error) {
	if st, _, runs := d.Book.RunningStudy(); runs {
		return undoInStudy(s, c, st)
	}
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return nil, err
	}
	for _, m := range slices.Backward(r.Measurements) {
		if m.Counts() && m.Round == r.Round {
			return log.VoidedBody{Seq: m.Seq, Reason: cmp.Or(c.Reason, undone), Undo: true, By: s.By, Keyed: s.keyed()}, nil
		}
	}
	return nil, words.Problem(words.CodeSettled, "rib", "to withdraw a value of another rib or round, void it by its number",
		"rib %q has no value to undo in this round", r.ID)
}

// Void withdraws a measurement.
type Void struct {
	Seq    int64  `json:"seq" least:"0" doc:"record of the measurement"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (Void) op() Op { return "void" }

func void(d *Desk, o *book.Batch, s Sent, c Void) (any, error) {
	if err := needReason(c.Reason, "voiding a measurement"); err != nil {
		return nil, err
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
			return nil, words.Problem(words.CodeSettled, "seq", "", "measurement %d of rib %q does not count any more", c.Seq, r.ID)
		}
		if e := atVersion(o, r, s, ""); e != nil {
			return nil, e
		}
		return log.VoidedBody{Seq: c.Seq, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
	}
	return nil, words.Problem(words.CodeUnknown, "seq", "give the number of a measurement of this batch",
		"batch %q has no measurement %d", o.Body.ID, c.Seq)
}
