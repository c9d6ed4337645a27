package access_test

import (
	"net/http"
	"net/http/httptest"
	"sync/atomic"
	"testing"
	"time"

	"springline/cmd/springline/access"
	"springline/session"
	"springline/session/command"
	"springline/session/web"
)

// A command whose answer is cut off is sent once more and counts once.
func TestLostAnswerIsAskedAgain(t *testing.T) {
	dir := t.TempDir()
	prepare(t, dir)
	b, err := session.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	var page http.Handler
	var sent, cut atomic.Int32
	cut.Store(1) // answers to be cut off
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/api/do" {
			sent.Add(1)
			if cut.Add(-1) >= 0 { // carried out, and never answered
				page.ServeHTTP(httptest.NewRecorder(), r)
				panic(http.ErrAbortHandler)
			}
		}
		page.ServeHTTP(w, r)
	}))
	defer server.Close()
	if page, err = web.New(web.Config{Bench: b, Addr: server.Listener.Addr().String(), Now: time.Now}); err != nil {
		t.Fatal(err)
	}
	withdraw, err := access.Announce(dir, server.Listener.Addr())
	if err != nil {
		t.Fatal(err)
	}
	defer withdraw()
	d, err := access.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatal(err)
	}
	defer d.Close()
	before := b.View().Seq
	if ack, err := d.Do(t.Context(), command.Order{Deed: command.Start{}}); err != nil || ack.Seq != before+1 {
		t.Errorf("answered with %+v, %v, want the record %d", ack, err, before+1)
	}
	if n := sent.Load(); n != 2 || b.View().Seq != before+1 {
		t.Errorf("sent %d times, which left %d records, want 2 times and one", n, b.View().Seq-before)
	}
	cut.Store(2)
	if _, err := d.Do(t.Context(), command.Order{Deed: command.Type{Text: "3550"}}); err == nil || sent.Load() != 4 {
		t.Errorf("after a second lost answer: %v, sent %d times in all, want an error after 4", err, sent.Load())
	}
}
