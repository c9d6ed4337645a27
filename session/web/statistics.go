package web

import (
	"net/http"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/picture"
	"springline/session"
	"springline/session/show"
)

// drift gives the chart of a characteristic in words and numbers.
func (s *site) drift(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	sheet, err := show.NewDriftSheet(b, r.URL.Query().Get("char"))
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", sheet)
}

// proof gives what the gauge can prove of a characteristic, and what the ribs so far say of it.
func (s *site) proof(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	sheet, err := show.NewProofSheet(b, r.URL.Query().Get("char"), r.URL.Query().Get("rib"))
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	send(w, http.StatusOK, "application/json", sheet)
}

// driftDrawing draws a characteristic in bend order as the ribs came off the jig.
func (s *site) driftDrawing(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	d, err := picture.DriftOf(b, qc.CharID(r.URL.Query().Get("char")))
	if err != nil {
		refuseChar(w, err)
		return
	}
	sendDrawing(w, d)
}

// budgetDrawing draws the parts of the doubt about a characteristic.
func (s *site) budgetDrawing(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	d, err := picture.BudgetOf(b, qc.CharID(r.URL.Query().Get("char")), r.URL.Query().Get("rib"))
	if err != nil {
		refuseChar(w, err)
		return
	}
	sendDrawing(w, d)
}

func refuseChar(w http.ResponseWriter, err error) {
	refuse(w, http.StatusNotFound, session.Problem{Code: words.CodeUnknown, Field: "char", Detail: err.Error(),
		Do: "name a characteristic of the round"})
}
