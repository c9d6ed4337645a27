package web

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"time"

	"springline/session"
	"springline/session/log"
)

const (
	maxStreams = 200 // below the connection cap, so commands still get through
	maxReplay  = 500 // record notices sent after a break; beyond it the page takes the view alone
	// restTime spaces the views of a gauge that sends all the time; a change is still shown at once.
	restTime = 40 * time.Millisecond
)

// place is a point of the record, as the event id "epoch-seq".
type place struct{ epoch, seq int64 }

func (p place) String() string { return fmt.Sprintf("%d-%d", p.epoch, p.seq) }

// lastSeen reads where the browser says it stopped. The header is input: anything but two whole
// numbers counts as not having been here.
func lastSeen(r *http.Request) (place, bool) {
	id := r.Header.Get("Last-Event-ID")
	if id == "" {
		id = r.URL.Query().Get("after")
	}
	e, q, ok := strings.Cut(id, "-")
	if !ok || len(id) > 40 {
		return place{}, false
	}
	epoch, err1 := strconv.ParseUint(e, 10, 63)
	seq, err2 := strconv.ParseUint(q, 10, 63)
	return place{int64(epoch), int64(seq)}, err1 == nil && err2 == nil && epoch > 0
}

// events keeps the page up to date. After a break it sends a notice for each record since, then the
// view; then a view after every change and a beat while nothing happens. Nothing is queued for a
// browser: the record is the queue, and one that does not take an event in time is cut.
func (s *site) events(w http.ResponseWriter, r *http.Request) {
	select {
	case s.streams <- struct{}{}:
		defer func() { <-s.streams }()
	default:
		w.Header().Set("Retry-After", "5")
		refuse(w, http.StatusServiceUnavailable, session.Problem{Code: "too_many_pages",
			Detail: "too many pages are open on this bench", Do: "close the bench page in other windows"})
		return
	}
	wake, stop := s.bench.Listen()
	defer stop()
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("X-Accel-Buffering", "no")
	if r.Method == http.MethodHead {
		return
	}
	out := &stream{s: s, w: w, c: http.NewResponseController(w), r: r}
	if at, ok := lastSeen(r); ok {
		out.at, out.resumed = at, true
	}
	beat := time.NewTicker(s.beat)
	defer beat.Stop()
	if out.put("retry: 2000\n\n") != nil || out.catchUp() != nil {
		return
	}
	rest := time.NewTimer(restTime)
	defer rest.Stop()
	for {
		select {
		case <-r.Context().Done():
			return
		case <-beat.C:
			if out.event("beat", nil, s.bench.View().Seq) != nil {
				return
			}
		case _, open := <-wake:
			if !open {
				return // the bench was closed
			}
			select {
			case <-rest.C:
			case <-r.Context().Done():
				return
			}
			if out.catchUp() != nil {
				return
			}
			rest.Reset(restTime)
		}
	}
}

// stream is one browser's event stream.
type stream struct {
	s       *site
	w       http.ResponseWriter
	c       *http.ResponseController
	r       *http.Request
	at      place // last record told
	resumed bool  // at is known
	shown   []byte
}

// catchUp sends notices of the records since the last one told, then the view if it changed.
func (o *stream) catchUp() error {
	v := o.s.shown()
	if o.resumed && (v.Epoch != o.at.epoch || v.Seq > o.at.seq) {
		if err := o.notices(v); err != nil {
			return err
		}
	}
	b, err := json.Marshal(v)
	if err != nil {
		return err
	}
	o.at, o.resumed = place{v.Epoch, v.Seq}, true
	if bytes.Equal(b, o.shown) {
		return nil
	}
	o.shown = b
	return o.event("view", &o.at, json.RawMessage(b))
}

func (o *stream) notices(v pageView) error {
	records, err := o.s.bench.Since(o.r.Context(), o.at.epoch, o.at.seq, maxReplay+1)
	switch {
	case errors.Is(err, session.ErrNoSuchPoint):
		return nil // another record than the browser knew: the view starts it over
	case err != nil:
		o.s.warn("read the records since "+o.at.String(), err)
		return nil // the view below is whole without them
	}
	if len(records) > maxReplay {
		return nil
	}
	for _, rec := range records {
		if rec.Seq > v.Seq {
			break
		}
		if err := o.event("record", &place{rec.Epoch, rec.Seq}, notice{Epoch: rec.Epoch, Seq: rec.Seq, Kind: rec.Kind}); err != nil {
			return err
		}
	}
	return nil
}

// notice tells that a record exists; what it changed is in the view.
type notice struct {
	Epoch int64    `json:"epoch"`
	Seq   int64    `json:"seq"`
	Kind  log.Kind `json:"kind"`
}

func (o *stream) event(name string, id *place, data any) error {
	b, err := json.Marshal(data)
	if err != nil {
		return err
	}
	var t strings.Builder
	if id != nil {
		fmt.Fprintf(&t, "id: %s\n", id)
	}
	fmt.Fprintf(&t, "event: %s\ndata: %s\n\n", name, b)
	return o.put(t.String())
}

func (o *stream) put(text string) error {
	if err := o.c.SetWriteDeadline(o.s.now().Add(o.s.stall)); err != nil {
		return err
	}
	if _, err := o.w.Write([]byte(text)); err != nil {
		return err
	}
	return o.c.Flush()
}
