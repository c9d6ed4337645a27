package web

import (
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"springline/device"
	"springline/qc/words"
	"springline/session"
)

// maxKeys is the longest burst taken, terminator included.
const maxKeys = 80

// keys takes a burst that a keyboard gauge typed into the page: {"gauge": id, "text": the characters
// with \r or \t last, "times": milliseconds from any moment, one for each character, parted by spaces}.
// Whether it is a reading is decided where every gauge's bytes are read.
func (s *site) keys(w http.ResponseWriter, r *http.Request) {
	var sent struct {
		Gauge string `json:"gauge"`
		Text  string `json:"text"`
		Times string `json:"times"`
	}
	if !readInto(w, r, &sent) {
		return
	}
	gauge := sent.Gauge
	if s.cfg.Keys == nil || !slices.Contains(s.cfg.Keyboards(), gauge) {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: words.CodeUnknown, Field: "gauge",
			Detail: strconv.Quote(gauge) + " is not a keyboard gauge of this bench", Do: "add it to the bench, or type the value"})
		return
	}
	burst, ok := burstOf(sent.Text, sent.Times)
	if !ok {
		refuse(w, http.StatusBadRequest, session.Problem{Code: words.CodeBadValue, Field: "times",
			Detail: "a burst is 1 to 80 plain characters, each with its time and none before the last", Do: "send the value again"})
		return
	}
	if err := s.cfg.Keys(r.Context(), gauge, burst); err != nil {
		s.warn("take keys of gauge "+gauge, err)
		refuse(w, http.StatusServiceUnavailable, session.Problem{Code: "gauge", Field: "gauge", Detail: err.Error(),
			Do: "send the value again, or type it"})
		return
	}
	w.WriteHeader(http.StatusNoContent)
}

// burstOf pairs characters with times.
func burstOf(text, times string) ([]device.Key, bool) {
	at := strings.Fields(times)
	if len(text) == 0 || len(text) > maxKeys || len(at) != len(text) {
		return nil, false
	}
	burst := make([]device.Key, len(text))
	before := 0.0
	for i := range burst {
		ms, err := strconv.ParseFloat(at[i], 64)
		if err != nil || !(ms >= before && ms < 1e12) || text[i] >= 0x80 {
			return nil, false
		}
		burst[i] = device.Key{Char: text[i], At: time.Duration(ms * float64(time.Millisecond))}
		before = ms
	}
	return burst, true
}
