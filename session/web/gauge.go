package web

import (
	"encoding/json"
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"springline/session"
)

// GaugeActs is what the page can have done to a connected gauge, by its name. What a gauge sends then
// comes back as every reading does.
type GaugeActs map[string]func(gauge string) error

// actOnGauge takes {"gauge": id, "act": name}.
func (s *site) actOnGauge(w http.ResponseWriter, r *http.Request) {
	body, bad := readBody(w, r)
	if bad != nil {
		refuse(w, bad.Status, *bad)
		return
	}
	var gauge, act string
	fields := map[string]*string{"gauge": &gauge, "act": &act}
	if bad := eachField(body, func(name string, v json.Token) string {
		value, ok := v.(string)
		switch {
		case fields[name] == nil:
			return "is not a field here"
		case !ok:
			return "must be a text"
		}
		*fields[name] = value
		return ""
	}); bad != nil {
		refuse(w, http.StatusBadRequest, *bad)
		return
	}
	do := s.cfg.Acts[act]
	if do == nil {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: session.CodeUnknown, Field: "act",
			Detail: strconv.Quote(act) + " is nothing that can be done to a gauge here", Do: "name one of " + strings.Join(slices.Sorted(maps.Keys(s.cfg.Acts)), ", ")})
		return
	}
	if err := do(gauge); err != nil {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: session.CodeUnknown, Field: "gauge", Detail: err.Error(),
			Do: "look at how the gauge is doing, or type the value"})
		return
	}
	w.WriteHeader(http.StatusNoContent)
}
