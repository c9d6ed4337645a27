package web

import (
	"errors"
	"net/http"
	"strings"
	"unicode/utf8"

	"springline/qc/length"
	"springline/qc/words"
	"springline/session"
	"springline/session/show"
)

// typedText is how a typed text is understood, to be shown before it counts; or why it is not.
type typedText struct {
	Text   string      `json:"text"`           // as typed
	Read   string      `json:"read,omitempty"` // 6' 11 3/4" = 2127.25 mm; empty when not understood
	MM     string      `json:"mm,omitempty"`
	Code   length.Code `json:"code,omitempty"`
	Detail string      `json:"detail,omitempty"`
	Choose []choice    `json:"choose,omitempty"` // readings that may be meant
}

// choice is one of the readings that an ambiguous entry may have; Text says it without ambiguity.
type choice struct {
	Text string `json:"text"`
	Read string `json:"read"`
}

// maxTyped is the longest text that is looked at, in bytes; a length has at most 40 characters.
const maxTyped = 200

// read says how a typed text is understood: for the characteristic that is next, or with for=pull for the
// tips under load, in millimetres unless a unit is typed. It records nothing.
func (s *site) read(w http.ResponseWriter, r *http.Request) {
	text := r.URL.Query().Get("text")
	if len(text) > maxTyped || !utf8.ValidString(text) {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: words.CodeBadValue, Field: "text",
			Detail: "the entry is too long for one length", Do: "clear it and type one length"})
		return
	}
	o, ok := s.field(r.URL.Query().Get("for"))
	if !ok {
		refuse(w, http.StatusConflict, session.Problem{Code: "no_next", Field: "text",
			Detail: "no characteristic is waiting for a value", Do: "start the next rib, or choose a rib that is still open"})
		return
	}
	answer := typedText{Text: text}
	e, err := length.Read(text, o)
	var bad *length.ParseError
	switch {
	case err == nil:
		answer.Read, answer.MM = e.String(), e.MM
	case errors.As(err, &bad):
		answer.Code, answer.Detail, answer.Choose = bad.Code, bad.Message, choices(text, o, bad.Code)
	default:
		answer.Code, answer.Detail = length.BadNumber, err.Error()
	}
	send(w, http.StatusOK, "application/json", answer)
}

// field gives the rules of the entry.
func (s *site) field(what string) (length.Options, bool) {
	if what == "pull" { // below zero once the legs have passed each other
		return length.Options{DefaultUnit: length.MM, Signed: true}, true
	}
	v := s.bench.View()
	if st := v.Study; st != nil && st.Step != nil && st.State == show.StudyRuns {
		u, _ := length.UnitNamed(st.Unit)
		return length.Options{DefaultUnit: u, Signed: st.Signed}, true
	}
	if v.Current == nil || v.Current.Next == nil {
		return length.Options{}, false
	}
	n := v.Current.Next
	u, _ := length.UnitNamed(n.Unit)
	return length.Options{DefaultUnit: u, Signed: n.Signed}, true
}

// choices are both readings of a lone separator that may group thousands or be a decimal sign.
func choices(text string, o length.Options, code length.Code) []choice {
	if code != length.AmbiguousSeparator {
		return nil
	}
	o.Decimal = length.DecimalPoint
	var cs []choice
	for _, sign := range []string{"", "."} {
		if e, err := length.Read(strings.NewReplacer(",", sign, ".", sign).Replace(text), o); err == nil {
			cs = append(cs, choice{Text: e.MM + " mm", Read: e.MM + " mm"})
		}
	}
	return cs
}
