package command

import (
	"cmp"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/doubt"
	"springline/session/log"
)

// Type binds a value that a person typed.
type Type struct {
	Text  string `json:"text" most:"2000" lines:"yes" doc:"the value as read"`
	Rib   string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Char  string `json:"char" need:"no" most:"120" doc:"the characteristic; the next one of its round when left out"`
	Gauge string `json:"gauge" need:"no" most:"120" doc:"the gauge; one that is bound to it when left out"`
}

func (Type) op() Op { return "type" }

// typed binds a value that a person typed.
func typed(d *Desk, s Sent, c Type) (any, error) {
	if st, step, runs := d.Book.RunningStudy(); runs {
		return d.typedForStudy(s, c, st, step)
	}
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if e, ok := err.(*words.Refusal); ok && e.Code == words.CodeConflict {
		e.YourValue = c.Text
	}
	if err != nil {
		return nil, err
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return nil, err
	}
	g, err := d.gaugeFor(c.Gauge, ch)
	if err != nil {
		return nil, err
	}
	if err := notFull(r, ch); err != nil {
		return nil, err
	}
	e, err := readTyped(c.Text, g, ch.Kind.Signed())
	if err != nil {
		return nil, badText("text", c.Text, ch.Label()+" of rib "+r.ID, err)
	}
	rd := log.ReadingBody{Gauge: g.ID, Entry: string(qc.Typed), Text: c.Text, Unit: g.Unit, ValueNM: int64(e.Length), By: s.By}
	q, asks := doubt.NotChecked(o, g, d.Now())
	if !asks {
		q, asks = doubt.Of(d.Book, o, r, ch, rd, d.Now())
	}
	if asks {
		return log.HeldBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round,
			Why: words.Said{Of: q.Why}, Decide: words.Said{Of: q.Ask}, Suggest: int64(q.Suggest), Repeat: q.Repeat, Keyed: s.keyed()}, nil
	}
	return log.MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round, Keyed: s.keyed()}, nil
}

// Take takes a held value.
type Take struct {
	Seq       int64  `json:"seq" least:"0" doc:"record of the held value"`
	Suggested bool   `json:"suggested" need:"no" doc:"take the value that was suggested instead"`
	Rib       string `json:"rib" need:"no" most:"120" doc:"the rib; that it was held for when left out"`
	Char      string `json:"char" need:"no" most:"120" doc:"the characteristic; that it was held for when left out"`
	Reason    string `json:"reason" need:"no" most:"2000" doc:"why"`
}

func (Take) op() Op { return "take" }

// take binds a held value that a person vouches for, as sent, or the suggested value when that is what
// the person asks for.
func take(d *Desk, o *book.Batch, s Sent, c Take) (any, error) {
	h, err := waiting(o, c.Seq)
	if err != nil {
		return nil, err
	}
	if h.Study != "" {
		return d.takeForStudy(s, c, h)
	}
	c.Rib, c.Char = cmp.Or(c.Rib, h.Rib), cmp.Or(c.Char, h.Char)
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if err != nil {
		return nil, err
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return nil, err
	}
	if err := notFull(r, ch); err != nil {
		return nil, err
	}
	if h.Rib == r.ID && h.Round != r.Round {
		return nil, words.Problem(words.CodeSettled, "seq", "throw it out and measure again",
			"held value %d was measured in round %d of rib %q, which is in round %d now", c.Seq, h.Round, r.ID, r.Round)
	}
	rd, err := taken(h, s, c)
	if err != nil {
		return nil, err
	}
	if g, ok := d.Book.Gauge(rd.Gauge); !ok || !g.Covers(ch.Kind) {
		return nil, words.Problem(words.CodeBadValue, "char", "measure it with a gauge bound to it",
			"gauge %q is not bound to %s", rd.Gauge, ch.Label())
	}
	if g, _ := d.Book.Gauge(rd.Gauge); g.Retired != "" {
		return nil, words.Problem(words.CodeSettled, "gauge", "throw the value out and measure with another gauge",
			"gauge %q is out of use: %s", g.ID, g.Retired)
	} else if q, not := doubt.NotChecked(o, g, d.Now()); not {
		return nil, words.Refuse(words.CodeBadValue, "gauge", q.Why, words.Prose{Text: "check the gauge, then take the value"})
	}
	if rd.ValueNM <= 0 && !ch.Kind.Signed() {
		return nil, words.Problem(words.CodeBadValue, "seq", "throw it out and measure again",
			"%s cannot be %s mm", ch.Label(), length.Length(rd.ValueNM))
	}
	cause := ""
	if h.Repeat {
		if err := needReason(c.Reason, "taking a reading that disagrees with its repeats"); err != nil {
			return nil, err
		}
		cause = c.Reason
	}
	return log.MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round, FromHeld: c.Seq, Cause: cause,
		Keyed: s.keyed()}, nil
}

// taken is the held reading as the person vouches for it: as sent, or the value that the bench suggested.
func taken(h *book.Held, s Sent, c Take) (log.ReadingBody, error) {
	rd := h.ReadingBody
	if s.By != "" {
		rd.By = s.By
	}
	if c.Suggested {
		if h.Suggest == 0 {
			return rd, words.Problem(words.CodeBadValue, "suggested", "take the value as it is, or throw it out",
				"nothing was suggested for held value %d", c.Seq)
		}
		rd.ValueNM = h.Suggest
		rd.Flags = append(append([]string(nil), rd.Flags...), "suggested value taken")
	}
	return rd, nil
}

// Discard throws a held value out.
type Discard struct {
	Seq    int64  `json:"seq" least:"0" doc:"record of the held value"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (Discard) op() Op { return "discard" }

func discard(d *Desk, o *book.Batch, s Sent, c Discard) (any, error) {
	if _, err := waiting(o, c.Seq); err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "throwing a value out"); err != nil {
		return nil, err
	}
	return log.HeldDiscardedBody{Held: c.Seq, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

func waiting(o *book.Batch, seq int64) (*book.Held, error) {
	h := o.HeldValue(seq)
	if h == nil {
		return nil, words.Problem(words.CodeUnknown, "seq", "give the number of a value that waits", "batch %q holds no value %d", o.Body.ID, seq)
	}
	if h.Settled {
		return nil, words.Problem(words.CodeSettled, "seq", "", "held value %d was answered already", seq)
	}
	return h, nil
}

func notFull(r *book.Rib, ch qc.Characteristic) error {
	if len(r.Counted(ch.ID)) < ch.Repeats {
		return nil
	}
	return words.Problem(words.CodeComplete, "char", "to measure it again, say so with a reason; the earlier value stays on record",
		"%s of rib %q is measured already", ch.Label(), r.ID)
}
