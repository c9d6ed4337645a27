package web

import (
	"errors"
	"net/http"
	"strings"
	"testing"
	"time"

	"springline/session/show"
)

// What the page has done to a gauge reaches it by name; anything else is refused with the field.
func TestGaugeActs(t *testing.T) {
	var asked []string
	h, err := New(Config{Bench: &shelf{view: show.View{Saved: true}}, Addr: "127.0.0.1:8420", Now: time.Now,
		Asked: func() []string { return []string{"far"} },
		Acts: GaugeActs{"ask": func(id string) error {
			if id != "far" {
				return errors.New(`gauge "` + id + `" is not connected here`)
			}
			asked = append(asked, id)
			return nil
		}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		body   string
		status int
		words  string
	}{
		{`{"gauge": "far", "act": "ask"}`, http.StatusNoContent, ""},
		{`{"gauge": "near", "act": "ask"}`, http.StatusUnprocessableEntity, "not connected here"},
		{`{"gauge": "far", "act": "zero"}`, http.StatusUnprocessableEntity, `"act"`},
		{`{"gauge": "far", "act": "ask", "speed": "9600"}`, http.StatusBadRequest, "speed"},
		{`{"gauge": 7, "act": "ask"}`, http.StatusBadRequest, "must be a text"},
		{`{"gauge": "far"`, http.StatusBadRequest, ""},
	} {
		w := ask(h, http.MethodPost, "/api/gauge", "127.0.0.1:8420", strings.NewReader(c.body), "Content-Type", "application/json")
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.words) {
			t.Errorf("%s: %d %s, want %d with %q", c.body, w.Code, w.Body.String(), c.status, c.words)
		}
	}
	if len(asked) != 1 {
		t.Errorf("asked %q", asked)
	}
	if w := ask(h, http.MethodGet, "/api/view", "127.0.0.1:8420", nil); !strings.Contains(w.Body.String(), `"asked":["far"]`) {
		t.Errorf("the view does not name the gauges that are asked: %s", w.Body.String())
	}
}
