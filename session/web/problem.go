package web

import (
	"encoding/json"
	"net/http"

	"springline/session"
)

// refuse answers with a problem.
func refuse(w http.ResponseWriter, status int, p session.Problem) {
	p.Type, p.Title, p.Status, p.Saved = "about:blank", http.StatusText(status), status, false
	send(w, status, "application/problem+json", p)
}

// send answers with a JSON document.
func send(w http.ResponseWriter, status int, kind string, body any) {
	b, err := json.Marshal(body)
	if err != nil {
		http.Error(w, "the answer could not be written as JSON", http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", kind+"; charset=utf-8")
	w.WriteHeader(status)
	w.Write(append(b, '\n'))
}
