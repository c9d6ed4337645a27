package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"unicode/utf8"

	"springline/session"
)

const (
	maxBody  = 64 << 10
	maxField = 8 << 10 // bytes of one text; the bench has narrower limits in characters
)

// readBody takes a JSON body of bounded size.
func readBody(w http.ResponseWriter, r *http.Request) ([]byte, *session.Problem) {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return nil, &session.Problem{Status: http.StatusUnsupportedMediaType, Code: "content_type",
			Detail: "a command is JSON", Do: "send it as application/json"}
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, maxBody))
	var tooBig *http.MaxBytesError
	switch {
	case errors.As(err, &tooBig):
		return nil, &session.Problem{Status: http.StatusRequestEntityTooLarge, Code: "too_large",
			Detail: "the command is larger than 64 KiB", Do: "send one command at a time"}
	case err != nil:
		return nil, &session.Problem{Status: http.StatusBadRequest, Code: "cut_off",
			Detail: "the command did not arrive whole", Do: "send it again with the same key"}
	case !utf8.Valid(body):
		return nil, &session.Problem{Status: http.StatusBadRequest, Code: "bad_json",
			Detail: "the command is not UTF-8 text", Do: "send UTF-8"}
	}
	return body, nil
}

// decodeCommand reads one flat JSON object strictly: known fields only, each once and in exact case,
// each of its own type, nothing after the object.
func decodeCommand(body []byte) (session.Command, *session.Problem) {
	var c session.Command
	texts := map[string]*string{"op": (*string)(&c.Op), "rib": &c.Rib, "char": &c.Char, "text": &c.Text, "gauge": &c.Gauge,
		"before": &c.Before, "loaded": &c.Loaded, "reason": &c.Reason, "lot": &c.Lot, "jig": &c.Jig,
		"by": &c.By, "key": &c.Key, "token": &c.Token, "with": &c.With, "metric": &c.Metric, "objective": &c.Objective,
		"weights": &c.Weights, "limit": &c.Limit, "other_lot": &c.OtherLot, "first": &c.First, "last": &c.Last,
		"reference": &c.Reference, "due": &c.Due, "bar": &c.Bar, "tape": &c.Tape, "doubt": &c.Doubt, "ribs": &c.Ribs, "persons": &c.Persons}
	numbers := map[string]*int64{"seq": &c.Seq, "version": &c.Version, "repeats": &c.Repeats}
	switches := map[string]*bool{"suggested": &c.Suggested}
	p := eachField(body, func(name string, v json.Token) string {
		if to := texts[name]; to != nil {
			text, ok := v.(string)
			switch {
			case !ok:
				return "must be a text"
			case len(text) > maxField:
				return fmt.Sprintf("is longer than %d bytes", maxField)
			case strings.ContainsRune(text, utf8.RuneError):
				return "holds half a character"
			}
			*to = text
			return ""
		}
		if to := numbers[name]; to != nil {
			num, _ := v.(json.Number)
			n, err := strconv.ParseInt(num.String(), 10, 64)
			if err != nil || n < 0 {
				return "must be a whole number, zero or more"
			}
			*to = n
			return ""
		}
		if to := switches[name]; to != nil {
			on, ok := v.(bool)
			if !ok {
				return "must be true or false"
			}
			*to = on
			return ""
		}
		return "is not a field of a command"
	})
	if p == nil && c.Op == "" {
		p = badJSON(session.CodeBadValue, "op", "the command does not say what to do")
	}
	if p != nil {
		return session.Command{}, p
	}
	return c, nil
}

// eachField walks a flat JSON object; take answers what is wrong with a field, or nothing.
func eachField(body []byte, take func(name string, v json.Token) string) *session.Problem {
	d := json.NewDecoder(bytes.NewReader(body))
	d.UseNumber()
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return badJSON("bad_json", "", "the command is not a JSON object")
	}
	seen := map[string]bool{}
	for d.More() {
		k, err := d.Token()
		name, _ := k.(string)
		if err != nil {
			return badJSON("bad_json", "", "the command is not whole JSON")
		}
		if seen[name] {
			return badJSON("bad_json", name, "the field %q stands twice", name)
		}
		seen[name] = true
		v, err := d.Token()
		if err != nil {
			return badJSON("bad_json", name, "the command is not whole JSON")
		}
		if why := take(name, v); why != "" {
			return badJSON(session.CodeBadValue, name, "the field %q %s", name, why)
		}
	}
	if _, err := d.Token(); err != nil {
		return badJSON("bad_json", "", "the command is not whole JSON")
	}
	if _, err := d.Token(); err != io.EOF {
		return badJSON("bad_json", "", "something follows the command")
	}
	return nil
}

func badJSON(code, field, format string, args ...any) *session.Problem {
	if len(field) > 40 {
		field = field[:40]
	}
	return &session.Problem{Status: http.StatusBadRequest, Code: code, Field: field, Detail: fmt.Sprintf(format, args...),
		Do: `send one flat JSON object, such as {"op":"undo","key":"..."}`}
}
