package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"springline/device"
	"springline/device/offline"
	"springline/device/simgauge"
	"springline/device/wire"
	"springline/session"
	"springline/session/log"
	"springline/session/show"
)

var update = flag.Bool("update", false, "write the expected outcome of each recording anew")

// outcome is what a recording must lead to: what the record holds and what the page shows at the end.
type outcome struct {
	Record []stored        `json:"record"`
	View   json.RawMessage `json:"view"`
}

type stored struct {
	Kind log.Kind        `json:"kind"`
	Body json.RawMessage `json:"body"`
}

// tapeFile is one recording of testdata/gauges with the gauge it was taken from.
type tapeFile struct {
	name, path string
	rec        device.Recording
	format     wire.Format
}

func recordings(t *testing.T) (all []tapeFile) {
	t.Helper()
	files, err := filepath.Glob("../../testdata/gauges/*.rec")
	if err != nil || len(files) == 0 {
		t.Fatalf("no recordings in testdata/gauges: %v", err)
	}
	for _, path := range files {
		b, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		rec, err := device.ReadRecording(bytes.NewReader(b))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		f, err := wire.ParseFormat([]byte(rec.Head.Format))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if len(rec.Steps) < 2 || !rec.Steps[0].Open {
			t.Fatalf("%s: does not begin with the opening of the port", path)
		}
		all = append(all, tapeFile{name: strings.TrimSuffix(filepath.Base(path), ".rec"), path: path, rec: rec, format: f})
	}
	return all
}

// job is the example job with the recorded gauge at an address, bound in the unit that it sends.
func (f tapeFile) job(address string) string {
	unit := "mm"
	if _, u, fixed := strings.Cut(f.format.Unit, "fixed:"); fixed {
		unit = u
	}
	return oneGaugeJob(address, unit, f.rec.Head.Format)
}

func (f tapeFile) golden() string { return strings.TrimSuffix(f.path, ".rec") + ".json" }

// want is the expected outcome; nil while it is being written anew.
func (f tapeFile) want(t *testing.T) *outcome {
	t.Helper()
	if *update {
		return nil
	}
	b, err := os.ReadFile(f.golden())
	if err != nil {
		t.Fatalf("%v; run this test with -update and read the difference", err)
	}
	var o outcome
	if err := json.Unmarshal(b, &o); err != nil || len(o.Record) == 0 {
		t.Fatalf("%s: %d records, %v", f.golden(), len(o.Record), err)
	}
	return &o
}

// Every recording is played into a pty that the real program reads, keyboard gauges through the page's
// interface; the record and the page must come out as expected.
func TestRecordings(t *testing.T) {
	t.Parallel()
	families := map[string]bool{}
	var all []atOnce
	for _, f := range recordings(t) {
		families[f.format.Family] = true
		all = append(all, atOnce{f.name, func(t *testing.T) {
			want := f.want(t)
			got, view, again := f.play(t, want)
			if want == nil {
				f.write(t, outcome{got, view})
				return
			}
			compareRecord(t, want.Record, got)
			if w := indented(t, want.View); w != indented(t, view) {
				t.Errorf("the page shows\n%s\nwant\n%s", indented(t, view), w)
			}
			compareOffline(t, "the recording", f.rec, f.format, got)
			compareOffline(t, "what the program recorded of it", again, f.format, got)
		}})
	}
	runAtOnce(t, all)
	for _, name := range []string{wire.Line, wire.Fixed, wire.Query, wire.Stream, wire.BCD, wire.Keyboard} {
		if !families[name] {
			t.Errorf("no recording of family %s", name)
		}
	}
}

// A recording named as the address of a gauge gives the same record as the gauge did, in its own time or
// without waiting.
func TestRecordingsAsGauges(t *testing.T) {
	t.Parallel()
	if *update {
		return // the outcome is that of TestRecordings
	}
	inTime := []string{"query-late-answer", "line-unplugged"}
	var all []atOnce
	for _, f := range recordings(t) {
		for _, scheme := range []string{"replay-fast:", "replay:"} {
			if scheme == "replay:" && !slices.Contains(inTime, f.name) {
				continue
			}
			all = append(all, atOnce{scheme + f.name, func(t *testing.T) {
				compareRecord(t, f.want(t).Record, f.replay(t, scheme))
			}})
		}
	}
	runAtOnce(t, all)
}

type atOnce struct {
	name string
	test func(*testing.T)
}

// runAtOnce runs tests that mostly wait for the time of their recordings side by side, more of them than
// the machine has cores.
func runAtOnce(t *testing.T, all []atOnce) {
	slots := make(chan struct{}, 8)
	var running sync.WaitGroup
	for _, a := range all {
		slots <- struct{}{}
		running.Go(func() {
			defer func() { <-slots }()
			t.Run(a.name, a.test)
		})
	}
	running.Wait()
}

// play runs the program on a simulated gauge that sends what was recorded, and gives what came of it and
// what the program itself recorded.
func (f tapeFile) play(t *testing.T, want *outcome) ([]stored, json.RawMessage, device.Recording) {
	if f.format.Family == wire.Keyboard {
		d := startDaemon(t, f.job(""))
		seq := d.begin()
		d.gaugeState("g", "reading")
		f.typeKeys(d)
		got, view := d.finish(seq, want)
		return got, view, d.recorded()
	}
	sim, err := simgauge.New(simgauge.Options{Link: filepath.Join(t.TempDir(), "ttyUSB0")})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = sim.Close() })
	if err := sim.Yank(); err != nil { // plugged in where the recording opens
		t.Fatal(err)
	}
	d := startDaemon(t, f.job(sim.Address()))
	seq := d.begin()
	f.send(d, sim)
	got, view := d.finish(seq, want)
	return got, view, d.recorded()
}

// recorded is the one recording that the program has made.
func (d *daemon) recorded() device.Recording {
	d.t.Helper()
	files, err := filepath.Glob(filepath.Join(d.dir, "recorded", "*.rec"))
	if err != nil || len(files) != 1 {
		d.t.Fatalf("the program recorded %q: %v", files, err)
	}
	text, err := os.ReadFile(files[0])
	if err != nil {
		d.t.Fatal(err)
	}
	rec, err := device.ReadRecording(bytes.NewReader(text))
	if err != nil {
		d.t.Fatal(err)
	}
	return rec
}

// replay runs the program on the recording itself, which is put in place once a rib is on the bench.
func (f tapeFile) replay(t *testing.T, scheme string) []stored {
	file := filepath.Join(t.TempDir(), "gauge.rec")
	d := startDaemon(t, f.job(scheme+file))
	seq := d.begin()
	path, err := filepath.Abs(f.path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(path, file); err != nil {
		t.Fatal(err)
	}
	d.gaugeState("g", "ended")
	return bodies(t, d.stop(seq))
}

// begin puts a rib on the bench and gives where the record stands.
func (d *daemon) begin() int64 {
	d.t.Helper()
	d.post("/api/do", map[string]any{"op": "start", "key": "begin"})
	return d.view().Seq
}

// send plays the steps. The time of bytes counts from the opening or the question before them.
func (f tapeFile) send(d *daemon, sim *simgauge.Gauge) {
	d.t.Helper()
	ctx, cancel := context.WithTimeout(d.t.Context(), waitBound)
	defer cancel()
	var zero time.Time
	for i, st := range f.rec.Steps {
		var err error
		switch {
		case st.Open:
			err = sim.Replug()
			if err == nil {
				err = sim.WaitReader(ctx)
			}
			zero = time.Now().Add(-st.At)
			if i > 0 {
				d.t.Logf("plugged in again: reading after %v", d.gaugeState("g", "reading").Round(time.Millisecond))
			}
		case st.Gone:
			if err = sim.Unplug(); err == nil {
				d.t.Logf("unplugged: shown after %v", d.gaugeState("g", "unplugged").Round(time.Millisecond))
			}
		case st.Ask:
			time.Sleep(time.Until(zero.Add(st.At)))
			before := len(sim.Received())
			d.post("/api/gauge", map[string]any{"gauge": "g", "act": "ask"})
			for len(sim.Received()) == before && ctx.Err() == nil {
				time.Sleep(time.Millisecond)
			}
			zero, err = time.Now().Add(-st.At), ctx.Err()
		default:
			time.Sleep(time.Until(zero.Add(st.At)))
			err = sim.Send(st.Data)
		}
		if err != nil {
			d.t.Fatalf("step %d at %v: %v", i, st.At, err)
		}
	}
}

// typeKeys sends the keys as the page does: a burst up to Enter or a long pause is one message.
func (f tapeFile) typeKeys(d *daemon) {
	d.t.Helper()
	var text []byte
	var times []string
	flush := func() {
		if len(text) > 0 {
			d.post("/api/keys", map[string]any{"gauge": "g", "text": string(text), "times": strings.Join(times, " ")})
		}
		text, times = nil, nil
	}
	last := time.Duration(0)
	for _, st := range f.rec.Steps[1:] {
		if st.At-last > time.Second {
			flush()
		}
		if pause := st.At - last; len(text) == 0 && pause > 0 {
			time.Sleep(pause)
		}
		last = st.At
		for _, c := range st.Data {
			text, times = append(text, c), append(times, fmt.Sprint(st.At.Milliseconds()))
			if c == '\r' {
				flush()
			}
		}
	}
	flush()
}

// finish waits until everything has been recorded, and then for what should not come.
func (d *daemon) finish(seq int64, want *outcome) ([]stored, json.RawMessage) {
	d.t.Helper()
	const quiet = 500 * time.Millisecond
	if want == nil {
		time.Sleep(6 * quiet)
	} else {
		n := seq + int64(len(want.Record))
		d.until(fmt.Sprintf("%d records", len(want.Record)), func(v show.View) bool { return v.Seq >= n })
		time.Sleep(quiet)
	}
	v := d.view()
	return bodies(d.t, d.stop(seq)), shownOf(d.t, v)
}

func bodies(t *testing.T, list []session.Stored) (out []stored) {
	for _, r := range list {
		out = append(out, stored{r.Kind, r.Body})
	}
	return out
}

// shownOf is the part of a view that speaks of gauges and values.
func shownOf(t *testing.T, v show.View) json.RawMessage {
	type value struct {
		Value   string `json:"value"`
		Char    string `json:"char"`
		Lane    string `json:"lane,omitempty"`
		Reason  string `json:"reason,omitempty"`
		Ask     string `json:"ask,omitempty"`
		Suggest string `json:"suggest,omitempty"`
	}
	type shown struct {
		Next    string   `json:"next"`
		State   string   `json:"state"`
		Sent    string   `json:"sent"`
		Last    *value   `json:"last"`
		Held    []value  `json:"held"`
		Notices []string `json:"notices"`
	}
	s := shown{State: v.Gauges[0].State, Held: []value{}, Notices: v.Notices}
	s.Sent, _, _ = strings.Cut(v.Gauges[0].LastText, " at ")
	if v.Current != nil && v.Current.Next != nil {
		s.Next = v.Current.Next.Char
	}
	if l := v.Last; l != nil {
		s.Last = &value{Value: l.Value, Char: l.Char, Lane: l.Lane}
	}
	for _, h := range v.Held {
		s.Held = append(s.Held, value{Value: h.Value, Char: h.Char, Reason: h.Reason, Ask: h.Ask, Suggest: h.Suggest})
	}
	b, err := json.Marshal(s)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func indented(t *testing.T, v any) string {
	t.Helper()
	b, err := json.MarshalIndent(v, "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func compareRecord(t *testing.T, want, got []stored) {
	t.Helper()
	if w, g := indented(t, want), indented(t, got); w != g {
		t.Errorf("the record holds\n%s\nwant\n%s", g, w)
	}
}

// compareOffline holds the record against the recording decoded without a port.
func compareOffline(t *testing.T, what string, rec device.Recording, f wire.Format, got []stored) {
	t.Helper()
	events, err := offline.Decode(rec, f)
	if err != nil {
		t.Fatal(err)
	}
	var offline, live []string
	for _, e := range events {
		if e.Err != nil {
			offline = append(offline, e.Err.Code)
		} else {
			offline = append(offline, strings.TrimSpace(e.Sample.Value+" "+e.Sample.Unit))
		}
	}
	for _, r := range got {
		var b struct{ Text, Unit, Code string }
		if err := json.Unmarshal(r.Body, &b); err != nil {
			t.Fatal(err)
		}
		live = append(live, b.Code+strings.TrimSpace(b.Text+" "+b.Unit))
	}
	if !slices.Equal(offline, live) {
		t.Errorf("%s decoded without a port gives %q, the record has %q", what, offline, live)
	}
}

func (f tapeFile) write(t *testing.T, o outcome) {
	if err := os.WriteFile(f.golden(), []byte(indented(t, o)+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
}
