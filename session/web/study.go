package web

import (
	"net/http"

	"springline/qc/words"
	"springline/reports/picture"
	"springline/session"
)

// studyDrawing draws the readings of a whole gauge study of the batch on the bench. While one runs there is
// nothing to see.
func (s *site) studyDrawing(w http.ResponseWriter, r *http.Request) {
	v := s.bench.View()
	if v.Batch == nil {
		refuse(w, http.StatusConflict, session.Problem{Code: words.CodeNoBatch, Field: "batch", Detail: "no batch is open",
			Do: "open a batch first"})
		return
	}
	b, err := s.bench.Batch(v.Batch.ID)
	if err != nil {
		s.refuseCommand(w, r, err)
		return
	}
	d, err := picture.StudyOf(b, r.URL.Query().Get("study"))
	if err != nil {
		refuse(w, http.StatusNotFound, session.Problem{Code: words.CodeUnknown, Field: "study", Detail: err.Error(),
			Do: "take its readings first, or name another"})
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'")
	w.Write(d.SVGFile())
}
