package web

import (
	"net/http"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/picture"
	"springline/session"
)

// partners lists the ribs that the rib asked about may stand with, the most alike first.
func (s *site) partners(w http.ResponseWriter, r *http.Request) {
	list, err := s.bench.Partners(r.URL.Query().Get("rib"))
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", list)
}

// order gives the run order of the confirmed pairs, with a rib of the first or the last pair where one is
// wanted there. One is worked out at a time.
func (s *site) order(w http.ResponseWriter, r *http.Request) {
	select {
	case s.report <- struct{}{}:
		defer func() { <-s.report }()
	case <-r.Context().Done():
		return
	}
	v, err := s.bench.RunOrder(r.URL.Query().Get("first"), r.URL.Query().Get("last"))
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", v)
}

// pairDrawing draws two ribs of the batch on the bench over each other as they stand.
func (s *site) pairDrawing(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	d, err := picture.Pair(b, q.Get("a"), q.Get("b"), q.Get("flip") == "true", q.Get("turned") == "true")
	if err != nil {
		refuse(w, http.StatusNotFound, session.Problem{Code: words.CodeUnknown, Field: "a", Detail: err.Error(),
			Do: "name two measured ribs of the batch"})
		return
	}
	sendDrawing(w, d)
}

// onBench is the batch on the bench; where there is none the request is refused.
func (s *site) onBench(w http.ResponseWriter, r *http.Request) (qc.Batch, bool) {
	v := s.bench.View()
	if v.Batch == nil {
		refuse(w, http.StatusConflict, session.Problem{Code: words.CodeNoBatch, Field: "batch", Detail: "no batch is open",
			Do: "open a batch first"})
		return qc.Batch{}, false
	}
	b, err := s.bench.Batch(v.Batch.ID)
	if err != nil {
		s.refuseCommand(w, r, err)
		return qc.Batch{}, false
	}
	return b, true
}

// sendDrawing answers with a drawing as a document of its own.
func sendDrawing(w http.ResponseWriter, d draw.Drawing) {
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'")
	w.Write(d.SVGFile())
}
