package web

import (
	"bytes"
	"net/http"

	"springline/qc/words"
	"springline/reports/jig"
	"springline/reports/picture"
	"springline/session"
)

// shapeDrawing draws a rib's fitted shape over its target.
func (s *site) shapeDrawing(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	d, err := picture.Shape(b, r.URL.Query().Get("rib"))
	if err != nil {
		refuse(w, http.StatusNotFound, session.Problem{Code: words.CodeUnknown, Field: "rib", Detail: err.Error(),
			Do: "name a rib of the batch that has been measured"})
		return
	}
	sendDrawing(w, d)
}

// springWidth is the chart's width in millimetres on the page, where it can be moved sideways.
const springWidth = 150

// springDrawing charts the spring constant in bend order.
func (s *site) springDrawing(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	d, ok := picture.Spring(b, springWidth)
	if !ok {
		refuse(w, http.StatusNotFound, session.Problem{Code: words.CodeMissing, Field: "ribs",
			Detail: "fewer than three ribs tell of the spring constant", Do: "bend and measure more ribs"})
		return
	}
	sendDrawing(w, d)
}

// jigSheet makes the sheet of the jig for the next bar.
func (s *site) jigSheet(w http.ResponseWriter, r *http.Request) {
	b, ok := s.onBench(w, r)
	if !ok {
		return
	}
	var pdf bytes.Buffer
	if err := jig.WriteNext(&pdf, b, r.URL.Query().Get("lot"), s.cfg.Software); err != nil {
		refuse(w, http.StatusUnprocessableEntity, session.Problem{Code: "jig", Detail: "the jig sheet could not be made: " + err.Error(),
			Do: "look at the jig's advice on the page"})
		return
	}
	w.Header().Set("Content-Type", "application/pdf")
	w.Header().Set("Content-Disposition", `inline; filename="jig.pdf"`)
	w.Write(pdf.Bytes())
}
