package web

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"springline/qc/strict"
	"springline/qc/words"
	"springline/session"
	"springline/session/command"
	"springline/session/store"
)

const maxBody = 64 << 10

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
	}
	return body, nil
}

// readInto fills a struct from a JSON body, strictly; false when the answer has been given.
func readInto(w http.ResponseWriter, r *http.Request, dst any) bool {
	body, bad := readBody(w, r)
	if bad == nil {
		var e *strict.Error
		if err := errors.Join(strict.Whole(body, maxBody), strict.Decode(body, dst)); errors.As(err, &e) {
			bad = &session.Problem{Status: http.StatusBadRequest, Code: words.CodeBadValue, Field: e.Field, Detail: e.Error(),
				Do: "send one flat JSON object"}
		}
	}
	if bad != nil {
		refuse(w, bad.Status, *bad)
	}
	return bad == nil
}

// do carries one command to the bench: see [session.Decode]. Its key makes a repeat harmless; its version, or the
// If-Match header instead, refuses it if what it is about has moved on.
func (s *site) do(w http.ResponseWriter, r *http.Request) {
	body, bad := readBody(w, r)
	if bad != nil {
		refuse(w, bad.Status, *bad)
		return
	}
	o, err := command.Decode(body)
	if row, _ := o.Op().Row(); err == nil && row.From == command.Here {
		err = words.Problem(words.CodeBadOp, "op", "", "operation %q is not for the page", o.Op())
	}
	if err != nil {
		s.refuseAs(w, r, http.StatusBadRequest, err)
		return
	}
	if m := r.Header.Get("If-Match"); m != "" {
		v, err := strconv.ParseInt(strings.Trim(m, `"`), 10, 64)
		if err != nil || v < 0 || o.Version != 0 && o.Version != v {
			refuse(w, http.StatusBadRequest, session.Problem{Code: words.CodeBadValue, Field: "If-Match",
				Detail: "the version is not a whole number, or not that of the command", Do: "send the version that the view gave"})
			return
		}
		o.Version = v
	}
	ack, err := s.bench.Do(r.Context(), o)
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", struct {
		Saved bool        `json:"saved"`
		Ack   command.Ack `json:"ack"`
	}{true, ack})
}

// refuseCommand tells what the bench said. A record that cannot be written must not read like a mistake
// in the entry: it has a status and a code of its own.
func (s *site) refuseCommand(w http.ResponseWriter, r *http.Request, err error) {
	s.refuseAs(w, r, http.StatusUnprocessableEntity, err)
}

// refuseAs answers with a status of its own where the code has none.
func (s *site) refuseAs(w http.ResponseWriter, r *http.Request, plain int, err error) {
	var ce *words.Refusal
	switch {
	case errors.As(err, &ce):
		status, ok := statusOf[ce.Code]
		if !ok {
			status = plain
		}
		p := session.Problem{Code: ce.Code, Field: ce.Field, Detail: ce.Message(), Do: ce.ToDo()}
		if ce.Code == words.CodeConflict {
			p.Both = &session.Sides{Yours: ce.Yours, YourValue: ce.YourValue, Now: ce.Now, ValueThen: ce.ValueThen}
		}
		refuse(w, status, p)
	case errors.Is(err, store.ErrNotSaved):
		s.warn("store a command", err)
		refuse(w, http.StatusServiceUnavailable, session.Problem{Code: "not_saved", Detail: err.Error(),
			Do: "write the value down; nothing more is taken until the program is started again on a sound disk"})
	case errors.Is(err, session.ErrReadOnly):
		refuse(w, http.StatusForbidden, session.Problem{Code: "read_only", Detail: err.Error(), Do: "use the bench that is running"})
	case r.Context().Err() != nil:
		refuse(w, http.StatusServiceUnavailable, session.Problem{Code: "cut_off", Detail: "the page went away before the command was carried out",
			Do: "send it again with the same key"})
	default:
		s.warn("carry out a command", err)
		refuse(w, http.StatusInternalServerError, session.Problem{Code: "fault", Detail: err.Error(),
			Do: "look at the view before sending it again with the same key"})
	}
}

// statusOf holds the codes that are not a plain 422: what clashes with the record as it is now.
var statusOf = map[string]int{
	words.CodeConflict: http.StatusConflict,
	words.CodeKeyUsed:  http.StatusConflict,
	words.CodeExists:   http.StatusConflict,
	words.CodeComplete: http.StatusConflict,
	words.CodeSettled:  http.StatusConflict,
}
