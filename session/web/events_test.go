package web

import (
	"bufio"
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"
	"time"

	"springline/session/command"
)

// event is one server-sent event.
type event struct{ id, name, data string }

// listenTo opens the event stream and gives its events as they come; after is the Last-Event-ID.
func listenTo(t *testing.T, url, after string) <-chan event {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	t.Cleanup(stop)
	r, err := http.NewRequestWithContext(ctx, "GET", url+"/api/events", nil)
	if err != nil {
		t.Fatal(err)
	}
	if after != "" {
		r.Header.Set("Last-Event-ID", after)
	}
	res, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	if res.StatusCode != 200 || res.Header.Get("Content-Type") != "text/event-stream" {
		t.Fatalf("%s %s", res.Status, res.Header)
	}
	ch := make(chan event, 2000)
	go func() {
		defer close(ch)
		defer res.Body.Close()
		var e event
		lines := bufio.NewScanner(res.Body)
		lines.Buffer(nil, 16<<20)
		for lines.Scan() {
			switch name, value, _ := strings.Cut(lines.Text(), ": "); name {
			case "id":
				e.id = value
			case "event":
				e.name = value
			case "data":
				e.data = value
			case "":
				if e.name != "" {
					ch <- e
				}
				e = event{}
			}
		}
	}()
	return ch
}

func await(t *testing.T, ch <-chan event) event {
	t.Helper()
	select {
	case e, ok := <-ch:
		if !ok {
			t.Fatal("the stream ended")
		}
		return e
	case <-time.After(20 * time.Second):
		t.Fatal("no event came")
		return event{}
	}
}

func TestEventsStartWithTheView(t *testing.T) {
	b := busy()
	b.fill(3, 7)
	ch := listenTo(t, serve(t, Config{Bench: b}), "")
	if e := await(t, ch); e.name != "view" || e.id != "3-7" || !strings.Contains(e.data, `"seq":7`) {
		t.Errorf("%s %s %.80s", e.name, e.id, e.data)
	}
}

// TestResumeGoesOnAfterTheLastSeen: every record after the last one seen is told once, in order, then
// the view.
func TestResumeGoesOnAfterTheLastSeen(t *testing.T) {
	b := busy()
	b.fill(3, 9)
	ch := listenTo(t, serve(t, Config{Bench: b}), "3-5")
	for seq := 6; seq <= 9; seq++ {
		if e := await(t, ch); e.name != "record" || e.id != fmt.Sprintf("3-%d", seq) {
			t.Fatalf("want record 3-%d, got %s %s", seq, e.name, e.id)
		}
	}
	if e := await(t, ch); e.name != "view" || e.id != "3-9" {
		t.Errorf("%s %s", e.name, e.id)
	}
}

// TestResumeOnRealRecord resumes on a bench with a record on disk.
func TestResumeOnRealRecord(t *testing.T) {
	b := realBench(t, t.TempDir())
	v := b.View()
	url := serve(t, Config{Bench: b})
	ch := listenTo(t, url, "")
	await(t, ch)
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	if e := await(t, ch); e.name != "record" || !strings.Contains(e.data, `"rib-started"`) {
		t.Fatalf("%+v", e)
	}
	await(t, ch)
	late := listenTo(t, url, fmt.Sprintf("%d-%d", v.Epoch, v.Seq))
	if e := await(t, late); e.name != "record" || e.id != fmt.Sprintf("%d-%d", v.Epoch, v.Seq+1) {
		t.Errorf("%+v", e)
	}
}

// TestUnknownPlaceGetsTheViewAlone: another epoch, a place ahead of the record, too far back, or no
// place at all.
func TestUnknownPlaceGetsTheViewAlone(t *testing.T) {
	b := busy()
	b.fill(3, 1200)
	url := serve(t, Config{Bench: b})
	for _, id := range []string{"2-5", "3-1300", "3-2", "x", "3", "-1-2", "3--1", "0-0", "99999999999999999999-1", "3-5; DROP TABLE record",
		strings.Repeat("9", 5000)} {
		if e := await(t, listenTo(t, url, id)); e.name != "view" || e.id != "3-1200" {
			t.Errorf("%.40q: %s %s", id, e.name, e.id)
		}
	}
}

func TestChangeIsTold(t *testing.T) {
	b := busy()
	b.fill(3, 1)
	ch := listenTo(t, serve(t, Config{Bench: b}), "")
	await(t, ch)
	b.fill(3, 2)
	b.put(b.View())
	if e := await(t, ch); e.name != "record" || e.id != "3-2" {
		t.Errorf("%s %s", e.name, e.id)
	}
	if e := await(t, ch); e.name != "view" || e.id != "3-2" {
		t.Errorf("%s %s", e.name, e.id)
	}
}

func TestHeartbeat(t *testing.T) {
	b := busy()
	ch := listenTo(t, serve(t, Config{Bench: b, Beat: 30 * time.Millisecond}), "")
	await(t, ch)
	if e := await(t, ch); e.name != "beat" || e.id != "" {
		t.Errorf("%+v", e)
	}
}

// TestSlowReaderIsCut: a browser that takes nothing is cut and gives its place up, and the bench never
// waits for it.
func TestSlowReaderIsCut(t *testing.T) {
	b := busy()
	url := serve(t, Config{Bench: b, Stall: 200 * time.Millisecond})
	res, err := http.Get(url + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	v := b.View()
	for range 3000 {
		v.Ribs = append(v.Ribs, ribOf(1, "PASS", 1, 2, 3, 4, 5, 6, 7, 8))
	}
	deadline := time.Now().Add(60 * time.Second)
	for i := int64(0); b.listeners() > 0; i++ {
		if time.Now().After(deadline) {
			t.Fatal("a reader that takes nothing still holds its stream")
		}
		v.Software = fmt.Sprint(i)
		b.put(v)
		time.Sleep(20 * time.Millisecond)
	}
}

// TestStreamsAreCounted: the stream after the last slot is refused and told to come back.
func TestStreamsAreCounted(t *testing.T) {
	url := serve(t, Config{Bench: busy()})
	for range maxStreams {
		await(t, listenTo(t, url, ""))
	}
	res, err := http.Get(url + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	if res.StatusCode != http.StatusServiceUnavailable || res.Header.Get("Retry-After") == "" {
		t.Errorf("%s %v", res.Status, res.Header)
	}
	alive, err := http.Get(url + "/healthz")
	if err != nil || alive.StatusCode != 200 {
		t.Errorf("with all streams taken nothing else is answered: %v", err)
	}
}
