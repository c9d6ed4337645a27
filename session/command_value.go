package session

import (
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// typed binds a value that a person typed.
func (b *Bench) typed(c Command) (event, error) {
	if st, step, runs := b.state.runningStudy(); runs {
		return b.typedForStudy(c, st, step)
	}
	o, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	ch, err := charFor(o, r, c)
	if err != nil {
		return event{}, err
	}
	g, err := b.gaugeFor(c, ch)
	if err != nil {
		return event{}, err
	}
	if err := notFull(r, ch); err != nil {
		return event{}, err
	}
	e, err := readTyped(c.Text, g, ch.Kind.Signed())
	if err != nil {
		return event{}, badText("text", c.Text, ch.Label()+" of rib "+r.ID, err)
	}
	rd := ReadingBody{Gauge: g.ID, Entry: string(qc.Typed), Text: c.Text, Unit: g.Unit, ValueNM: int64(e.Length), By: c.By}
	q, doubt := notChecked(o, g, b.now())
	if !doubt {
		q, doubt = b.state.doubt(o, r, ch, rd, b.now())
	}
	if doubt {
		return event{Held, HeldBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round,
			Why: words.Said{Of: q.why}, Decide: words.Said{Of: q.ask}, Suggest: int64(q.suggest), Repeat: q.repeat, Key: c.Key}}, nil
	}
	return event{Measured, MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round, Key: c.Key}}, nil
}

// take binds a held value that a person vouches for, as sent, or the suggested value when that is what
// the person asks for.
func (b *Bench) take(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	h, err := waiting(o, c.Seq)
	if err != nil {
		return event{}, err
	}
	if h.Study != "" {
		return b.takeForStudy(c, h)
	}
	if c.Rib == "" {
		c.Rib = h.Rib
	}
	if c.Char == "" {
		c.Char = h.Char
	}
	o, r, err := b.ribFor(c)
	if err != nil {
		return event{}, err
	}
	ch, err := charFor(o, r, c)
	if err != nil {
		return event{}, err
	}
	if err := notFull(r, ch); err != nil {
		return event{}, err
	}
	if h.Rib == r.ID && h.Round != r.Round {
		return event{}, problem(CodeSettled, "seq", "throw it out and measure again",
			"held value %d was measured in round %d of rib %q, which is in round %d now", c.Seq, h.Round, r.ID, r.Round)
	}
	rd, err := h.taken(c)
	if err != nil {
		return event{}, err
	}
	if g, ok := b.state.gauge(rd.Gauge); !ok || !g.Covers(ch.Kind) {
		return event{}, problem(CodeBadValue, "char", "measure it with a gauge bound to it", "gauge %q is not bound to %s", rd.Gauge, ch.Label())
	}
	if g, _ := b.state.gauge(rd.Gauge); g.Retired != "" {
		return event{}, problem(CodeSettled, "gauge", "throw the value out and measure with another gauge", "gauge %q is out of use: %s", g.ID, g.Retired)
	} else if q, not := notChecked(o, g, b.now()); not {
		return event{}, words.Refuse(CodeBadValue, "gauge", q.why, words.Prose{Text: "check the gauge, then take the value"})
	}
	if rd.ValueNM <= 0 && !ch.Kind.Signed() {
		return event{}, problem(CodeBadValue, "seq", "throw it out and measure again", "%s cannot be %s mm", ch.Label(), nm(rd.ValueNM))
	}
	cause := ""
	if h.Repeat {
		if err := needReason(c, "taking a reading that disagrees with its repeats"); err != nil {
			return event{}, err
		}
		cause = c.Reason
	}
	return event{Measured, MeasuredBody{ReadingBody: rd, Rib: r.ID, Char: string(ch.ID), Round: r.Round, FromHeld: c.Seq, Cause: cause, Key: c.Key}}, nil
}

// taken is the held reading as the person vouches for it: as sent, or the value that the bench suggested.
func (h *heldValue) taken(c Command) (ReadingBody, error) {
	rd := h.ReadingBody
	if c.By != "" {
		rd.By = c.By
	}
	if c.Suggested {
		if h.Suggest == 0 {
			return rd, problem(CodeBadValue, "suggested", "take the value as it is, or throw it out", "nothing was suggested for held value %d", c.Seq)
		}
		rd.ValueNM = h.Suggest
		rd.Flags = append(append([]string(nil), rd.Flags...), "suggested value taken")
	}
	return rd, nil
}

func (b *Bench) discard(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	if _, err := waiting(o, c.Seq); err != nil {
		return event{}, err
	}
	if err := needReason(c, "throwing a value out"); err != nil {
		return event{}, err
	}
	return event{HeldDiscarded, HeldDiscardedBody{Held: c.Seq, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func waiting(o *batch, seq int64) (*heldValue, error) {
	h := o.heldValue(seq)
	if h == nil {
		return nil, problem(CodeUnknown, "seq", "give the number of a value that waits", "batch %q holds no value %d", o.body.ID, seq)
	}
	if h.settled {
		return nil, problem(CodeSettled, "seq", "", "held value %d was answered already", seq)
	}
	return h, nil
}

func notFull(r *rib, ch qc.Characteristic) error {
	if len(r.Counted(ch.ID)) < ch.Repeats {
		return nil
	}
	return problem(CodeComplete, "char", "to measure it again, say so with a reason; the earlier value stays on record",
		"%s of rib %q is measured already", ch.Label(), r.ID)
}

// gaugeFor is the gauge that a typed value was read from: the one named, else the first that is bound
// to the characteristic, those that can only be typed first.
func (b *Bench) gaugeFor(c Command, ch qc.Characteristic) (qc.Gauge, error) {
	if c.Gauge != "" {
		g, ok := b.state.gauge(c.Gauge)
		if !ok {
			return g, problem(CodeUnknown, "gauge", "add the gauge first", "gauge %q is not on record", c.Gauge)
		}
		if g.Retired != "" {
			return g, problem(CodeSettled, "gauge", "use another one", "gauge %q is out of use: %s", c.Gauge, g.Retired)
		}
		if !g.Covers(ch.Kind) {
			return g, problem(CodeBadValue, "gauge", "use a gauge that is, or bind this one to it", "gauge %q is not bound to %s", c.Gauge, ch.Label())
		}
		return g, nil
	}
	if g, ok := b.state.boundTo(ch); ok {
		return g.Gauge, nil
	}
	return qc.Gauge{}, problem(CodeUnknown, "gauge", "bind one to it", "no gauge is bound to %s", ch.Label())
}

// boundTo is the gauge a person types for: those that can only be typed come first.
func (s *state) boundTo(ch qc.Characteristic) (gauge, bool) {
	var found *gauge
	for i := range s.gauges {
		g := &s.gauges[i]
		if g.Covers(ch.Kind) && g.Retired == "" && (found == nil || found.address != "" && g.address == "") {
			found = g
		}
	}
	if found == nil {
		return gauge{}, false
	}
	return *found, true
}

func readTyped(text string, g qc.Gauge, signed bool) (length.Entry, error) {
	u, ok := length.UnitNamed(g.Unit)
	if !ok {
		return length.Entry{}, fmt.Errorf("gauge %q is read in %q, which is no unit of length here", g.ID, g.Unit)
	}
	return length.Read(text, length.Options{DefaultUnit: u, Signed: signed})
}

func badText(field, text, what string, err error) error {
	e := problem(CodeBadValue, field, "", "read %q as %s: %v", text, what, err)
	var p *length.ParseError
	if errors.As(err, &p) {
		e = problem(string(p.Code), field, "", "read %q as %s: %s", text, what, p.Message)
	}
	e.Err = err
	return e
}

// checkText refuses texts that no name, reason or key needs and that could disturb a page or a log.
func checkText(field, text string, most int) error {
	if !utf8.ValidString(text) {
		return problem(CodeBadValue, field, "send UTF-8", "%s is not valid text", field)
	}
	if utf8.RuneCountInString(text) > most {
		return problem(CodeBadValue, field, "shorten it", "%s is longer than %d characters", field, most)
	}
	for _, c := range text {
		if unicode.IsControl(c) && !(field == "text" && strings.ContainsRune("\r\n\t", c)) || c >= 0x202a && c <= 0x202e || c >= 0x2066 && c <= 0x2069 {
			return problem(CodeBadValue, field, "leave it out", "%s holds the unprintable character %q", field, c)
		}
	}
	return nil
}
