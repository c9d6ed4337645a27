package web

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"springline/qc"
	"springline/session"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

// shelf is a bench in a state chosen by the test: the states that a sound bench will not go into by
// request (NOT SAVED, thousands of ribs) are as real to the page as any.
type shelf struct {
	mu       sync.Mutex
	view     show.View
	records  []session.Stored
	commands []command.Order
	answer   error
	wakes    []chan struct{}
}

func (b *shelf) View() show.View {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.view
}

// put makes v the view and wakes the listeners.
func (b *shelf) put(v show.View) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.view = v
	for _, w := range b.wakes {
		select {
		case w <- struct{}{}:
		default:
		}
	}
}

func (b *shelf) Listen() (<-chan struct{}, func()) {
	b.mu.Lock()
	defer b.mu.Unlock()
	w := make(chan struct{}, 1)
	b.wakes = append(b.wakes, w)
	return w, func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.wakes = slices.DeleteFunc(b.wakes, func(x chan struct{}) bool { return x == w })
	}
}

func (b *shelf) listeners() int {
	b.mu.Lock()
	defer b.mu.Unlock()
	return len(b.wakes)
}

func (b *shelf) Since(_ context.Context, epoch, seq int64, limit int) ([]session.Stored, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	at := slices.IndexFunc(b.records, func(r session.Stored) bool { return r.Epoch == epoch && r.Seq == seq })
	if at < 0 {
		return nil, session.ErrNoSuchPoint
	}
	rest := b.records[at+1:]
	return slices.Clone(rest[:min(limit, len(rest))]), nil
}

func (b *shelf) Do(_ context.Context, c command.Order) (command.Ack, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.answer != nil {
		return command.Ack{}, b.answer
	}
	b.commands = append(b.commands, c)
	return command.Ack{Epoch: b.view.Epoch, Seq: b.view.Seq}, nil
}

func (b *shelf) did() []command.Order {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Clone(b.commands)
}

func (b *shelf) Partners(rib string) ([]show.PartnerView, error) {
	return []show.PartnerView{}, nil
}

func (b *shelf) RunOrder(first, last string) (show.OrderView, error) {
	return show.OrderView{Stands: []show.StandView{}}, nil
}

func (b *shelf) Batch(id string) (qc.Batch, error) {
	if b.View().Batch == nil || b.View().Batch.ID != id {
		return qc.Batch{}, fmt.Errorf("batch %q is not on record", id)
	}
	return qc.Batch{ID: id}, nil
}

// fill gives the shelf n records of epoch, the view standing at the last.
func (b *shelf) fill(epoch int64, n int) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.records = nil
	for i := range n {
		b.records = append(b.records, session.Stored{Epoch: epoch, Seq: int64(i + 1), Kind: log.Measured, Body: json.RawMessage(`{}`)})
	}
	b.view.Epoch, b.view.Seq = epoch, int64(n)
}

// serve starts the page on a free loopback port.
func serve(t *testing.T, cfg Config) (url string) {
	t.Helper()
	l, err := Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	if cfg.Now == nil {
		cfg.Now = time.Now
	}
	go func() { done <- Serve(ctx, l, cfg) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Errorf("Serve: %v", err)
		}
	})
	return "http://" + l.Addr().String()
}

// handler is the page without a listener, for requests made up by hand.
func handler(t *testing.T, b Bench) http.Handler {
	t.Helper()
	h, err := New(Config{Bench: b, Addr: "127.0.0.1:8420", Now: time.Now, Reports: plainReport})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func plainReport(format string, b qc.Batch, w io.Writer) error {
	if format == "csv" {
		return errors.New("no ink")
	}
	_, err := fmt.Fprintf(w, "<style>p{color:#000}</style><p>%s of %s</p>", format, b.ID)
	return err
}

// ask sends one request and gives the answer.
func ask(h http.Handler, method, target, host string, body io.Reader, header ...string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, target, body)
	r.Host = host
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}
