package web

import (
	"maps"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"springline/qc/words"
	"springline/session"
)

// GaugeActs is what the page can have done to a connected gauge, by its name. What a gauge sends then
// comes back as every reading does.
type GaugeActs map[string]func(gauge string) error

// actOnGauge takes {"gauge": id, "act": name}.
func (s *site) actOnGauge(w http.ResponseWriter, r *http.Request) {
	var sent struct {
		Gauge string `json:"gauge"`
		Act   string `json:"act"`
	}
	if !readInto(w, r, &sent) {
		return
	}
	gauge, act := sent.Gauge, sent.Act
	do := s.cfg.Acts[act]
	if do == nil {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: words.CodeUnknown, Field: "act",
			Detail: strconv.Quote(act) + " is nothing that can be done to a gauge here", Do: "name one of " +
				strings.Join(slices.Sorted(maps.Keys(s.cfg.Acts)), ", ")})
		return
	}
	if err := do(gauge); err != nil {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: words.CodeUnknown, Field: "gauge", Detail: err.Error(),
			Do: "look at how the gauge is doing, or type the value"})
		return
	}
	w.WriteHeader(http.StatusNoContent)
}
