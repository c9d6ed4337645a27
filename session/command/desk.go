package command

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
	"springline/session/log"
)

// Desk is what a verb is decided on: the record and what follows from it, and the moment.
type Desk struct {
	Book  *book.Book
	Is    *derive.Set
	Now   func() time.Time
	Bench string
	// CanConnect says what is wrong with how a gauge is connected.
	CanConnect func(log.GaugeSetup) error
}

// openBatch is the batch being measured.
func (d *Desk) openBatch() (*book.Batch, error) {
	if o := d.Book.Open(); o != nil {
		return o, nil
	}
	return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "no batch is open on bench %q", d.Bench)
}

// seen refuses a version of nothing, and one of pairs about which something was decided since. The versions of a
// rib and of a study are looked at where it is known which one is meant.
func (d *Desk) seen(of Thing, s Sent, op Op) error {
	o := d.Book.Open()
	switch {
	case s.Version != 0 && of == OfNothing:
		return words.Problem(words.CodeBadValue, "version", "leave it out", "%q has nothing to do with a version", op)
	case s.Version != 0 && of == OfPairs && o != nil && s.Version < o.Pairing.Version:
		e := words.Problem(words.CodeConflict, "version", "look at the pairs as they are now and decide again",
			"the pairs of batch %q have moved on: this was decided at record %d and they are at record %d", o.Body.ID, s.Version, o.Pairing.Version)
		e.Yours, e.Now = s.Version, o.Pairing.Version
		return e
	}
	return nil
}

// ribFor is the rib that the command names, else the current one, at the version it names. Where the rib has
// moved on, the refusal says what it has for the characteristic.
func (d *Desk) ribFor(s Sent, id, char string) (*book.Batch, *book.Rib, error) {
	o, err := d.openBatch()
	if err != nil {
		return nil, nil, err
	}
	r := o.Current
	if id != "" {
		if r = o.Rib(id); r == nil {
			return nil, nil, words.Problem(words.CodeUnknown, "rib", "start it, or give the number of one that is there",
				"batch %q has no rib %q", o.Body.ID, id)
		}
	}
	if r == nil {
		return nil, nil, words.Problem(words.CodeNoRib, "rib", "start a rib first", "no rib is on bench %q", d.Bench)
	}
	if e := atVersion(o, r, s, char); e != nil {
		return nil, nil, e
	}
	return o, r, nil
}

// atVersion refuses a command that was decided on an older view of the rib; nil when it was not.
func atVersion(o *book.Batch, r *book.Rib, s Sent, char string) *words.Refusal {
	if s.Version == 0 || s.Version == r.Version {
		return nil
	}
	e := words.Problem(words.CodeConflict, "version", "look at what is there now and decide again",
		"rib %q has moved on: this was decided at record %d and the rib is at record %d", r.ID, s.Version, r.Version)
	e.Yours, e.Now = s.Version, r.Version
	e.ValueThen = lastOf(o, r, qc.CharID(char))
	return e
}

// lastOf says what the rib has for a characteristic, or its last measurement.
func lastOf(o *book.Batch, r *book.Rib, id qc.CharID) string {
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
	c, _ := o.Target.Characteristic(last.Char)
	return c.Label() + " " + last.Value.String() + " mm"
}

// charFor is the characteristic that the command names, else the next one of the rib's round.
func charFor(o *book.Batch, r *book.Rib, id string) (qc.Characteristic, error) {
	if id != "" {
		ch, ok := o.TargetOf(r).Characteristic(qc.CharID(id))
		if !ok {
			return ch, words.Problem(words.CodeUnknown, "char", "name one of its round", "target %q has no characteristic %q", o.Target.Name, id)
		}
		return ch, nil
	}
	ch, ok := r.Next(o.TargetOf(r))
	if !ok {
		return ch, words.Problem(words.CodeComplete, "char", "start the next rib, or measure one characteristic again",
			"the round of rib %q has nothing left to measure", r.ID)
	}
	return ch, nil
}

// gaugeFor is the gauge that a typed value was read from: the one named, else the first that is bound
// to the characteristic, those that can only be typed first.
func (d *Desk) gaugeFor(id string, ch qc.Characteristic) (qc.Gauge, error) {
	if id == "" {
		if g, ok := d.Book.BoundTo(ch); ok {
			return g.Gauge, nil
		}
		return qc.Gauge{}, words.Problem(words.CodeUnknown, "gauge", "bind one to it", "no gauge is bound to %s", ch.Label())
	}
	g, ok := d.Book.Gauge(id)
	switch {
	case !ok:
		return g, words.Problem(words.CodeUnknown, "gauge", "add the gauge first", "gauge %q is not on record", id)
	case g.Retired != "":
		return g, words.Problem(words.CodeSettled, "gauge", "use another one", "gauge %q is out of use: %s", id, g.Retired)
	case !g.Covers(ch.Kind):
		return g, words.Problem(words.CodeBadValue, "gauge", "use a gauge that is, or bind this one to it",
			"gauge %q is not bound to %s", id, ch.Label())
	}
	return g, nil
}

func needReason(reason, what string) error {
	if strings.TrimSpace(reason) != "" {
		return nil
	}
	return words.Problem(words.CodeMissing, "reason", "say why in a few words; it is printed on the report", "%s needs a reason", what)
}

func readTyped(text string, g qc.Gauge, signed bool) (length.Entry, error) {
	u, ok := length.UnitNamed(g.Unit)
	if !ok {
		return length.Entry{}, fmt.Errorf("gauge %q is read in %q, which is no unit of length here", g.ID, g.Unit)
	}
	return length.Read(text, length.Options{DefaultUnit: u, Signed: signed})
}

func badText(field, text, what string, err error) error {
	e := words.Problem(words.CodeBadValue, field, "", "read %q as %s: %v", text, what, err)
	var p *length.ParseError
	if errors.As(err, &p) {
		e = words.Problem(string(p.Code), field, "", "read %q as %s: %s", text, what, p.Message)
	}
	e.Err = err
	return e
}
