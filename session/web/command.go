package web

import (
	"errors"
	"net/http"
	"strconv"
	"strings"

	"springline/qc/words"
	"springline/session"
	"springline/session/store"
)

// do carries one command to the bench. The body is one flat JSON object with the fields of
// session.Command. key makes a repeat harmless; version (or the If-Match header) refuses the command
// if the rib has moved on.
func (s *site) do(w http.ResponseWriter, r *http.Request) {
	body, bad := readBody(w, r)
	if bad != nil {
		refuse(w, bad.Status, *bad)
		return
	}
	c, bad := decodeCommand(body)
	if bad != nil {
		refuse(w, http.StatusBadRequest, *bad)
		return
	}
	if m := r.Header.Get("If-Match"); m != "" {
		v, err := strconv.ParseInt(strings.Trim(m, `"`), 10, 64)
		if err != nil || v < 0 {
			refuse(w, http.StatusBadRequest, session.Problem{Code: session.CodeBadValue, Field: "If-Match",
				Detail: "the version is not a whole number", Do: "send the version that the view gave"})
			return
		}
		c.Version = v
	}
	ack, err := s.bench.Do(r.Context(), c)
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", struct {
		Saved bool        `json:"saved"`
		Ack   session.Ack `json:"ack"`
	}{true, ack})
}

// refuseCommand tells what the bench said. A record that cannot be written must not read like a mistake
// in the entry: it has a status and a code of its own.
func (s *site) refuseCommand(w http.ResponseWriter, r *http.Request, err error) {
	var ce *words.Refusal
	switch {
	case errors.As(err, &ce):
		status, ok := statusOf[ce.Code]
		if !ok {
			status = http.StatusUnprocessableEntity
		}
		p := session.Problem{Code: ce.Code, Field: ce.Field, Detail: ce.Message(), Do: ce.ToDo()}
		if ce.Code == session.CodeConflict {
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
		refuse(w, http.StatusInternalServerError, session.Problem{Code: "fault", Detail: err.Error(), Do: "look at the view before sending it again with the same key"})
	}
}

// statusOf holds the codes that are not a plain 422: what clashes with the record as it is now.
var statusOf = map[string]int{
	session.CodeConflict: http.StatusConflict,
	session.CodeKeyUsed:  http.StatusConflict,
	session.CodeExists:   http.StatusConflict,
	session.CodeComplete: http.StatusConflict,
	session.CodeSettled:  http.StatusConflict,
}
