package device_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"springline/device"
	"springline/device/offline"
	"springline/device/simgauge"
	"springline/device/wire"
)

// A gauge that is asked is recorded with its questions: decoded without a port, and played again in its
// own time or without waiting, the recording gives what was delivered live, and the replay asks by itself.
func TestRecordedQuestionsAreAskedAgain(t *testing.T) {
	noLeak(t)
	ask := wire.DefaultFormat(wire.Query)
	ask.QueryHex, ask.Unit = "520d", "fixed:mm"
	text, err := ask.MarshalJSON()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "ask.rec")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(t)
	rec, err := device.NewRecorder(f, time.Now(), device.RecordingHead{Gauge: "ask", Format: string(text)})
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	sim := newSim(t, simgauge.Options{Reply: func([]byte) []byte {
		if n++; n == 2 {
			return nil // one question is not answered
		}
		return fmt.Appendf(nil, "%d.50\r", n)
	}})
	g := gauge("ask", sim.Address())
	g.Format = ask
	if err := b.hub.Add(g, rec); err != nil {
		t.Fatal(err)
	}
	ready(t, sim)
	for range 3 {
		if err := b.hub.Query("ask"); err != nil {
			t.Fatal(err)
		}
		b.reading("ask")
	}
	if err := b.hub.Stop(); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	live := strings.Join(outcomes(eventsOf(b.got)), "\n")
	if !strings.Contains(live, "1.50 mm") || !strings.Contains(live, "error timeout") || !strings.Contains(live, "3.50 mm") {
		t.Fatalf("live gave\n%s", live)
	}

	written, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	tape, err := device.ReadRecording(bytes.NewReader(written))
	if err != nil {
		t.Fatal(err)
	}
	if tape.Head.Format != string(text) {
		t.Errorf("format %s, want %s", tape.Head.Format, text)
	}
	events, err := offline.Decode(tape, ask)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(outcomes(events), "\n"); got != live {
		t.Errorf("decoded\n%s\nlive\n%s", got, live)
	}
	for _, how := range []string{"replay:", "replay-fast:"} {
		r := newBench(t)
		g.ID, g.Address = how, how+file
		r.add(g)
		r.state(how, device.StateEnded)
		if got := strings.Join(outcomes(eventsOf(r.got)), "\n"); got != live {
			t.Errorf("%s gave\n%s\nlive\n%s", how, got, live)
		}
	}
	_ = sim.Close()
}

// A replay without waiting keeps the recorded times, so that an hour of silence, a double send and what
// comes right after the opening mean what they meant, and none of it lies ahead of now.
func TestFastReplayKeepsTheTimes(t *testing.T) {
	const hour = 3_600_000
	file := filepath.Join(t.TempDir(), "long.rec")
	text := goodHead + fmt.Sprintf("0 open\n20 %x\n1000 %x\n1100 %x\n%d %x\n%d gone\n%d open\n%d %x\n%d %x\n",
		"2.00 mm\r", "12.00 mm\r", "12.00 mm\r", hour, "12.00 mm\r", hour+10, hour+5000, hour+5020, "2.00 mm\r", hour+9000, "13.00 mm\r")
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	b := newBench(t)
	began := time.Now()
	b.add(gauge("g", "replay-fast:"+file))
	b.state("g", device.StateEnded)
	var got []string
	var at []time.Time
	for _, u := range b.got {
		if u.Reading != nil {
			got = append(got, outcomes([]wire.Event{u.Reading.Event})...)
			at = append(at, u.Reading.Wall)
		}
	}
	want := []string{`error partial_at_open "2.00 mm"`, `12.00 mm [] auto "12.00 mm"`, `12.00 mm [duplicate_suspect] confirm "12.00 mm"`,
		`12.00 mm [] auto "12.00 mm"`, `error partial_at_open "2.00 mm"`, `13.00 mm [] auto "13.00 mm"`}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Fatalf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	for i, ms := range []int{20, 1000, 1100, hour, hour + 5020, hour + 9000} {
		if d := at[i].Sub(at[0]); d != time.Duration(ms-20)*time.Millisecond {
			t.Errorf("event %d came %v after the first, recorded %d ms", i, d, ms-20)
		}
	}
	if last := at[len(at)-1]; last.Sub(began) > time.Since(began) {
		t.Errorf("the last value has the time %v, which is still to come", last)
	}
}

// A replay that stands at a question or waits for the time of its bytes lets go at once.
func TestReplayIsStopped(t *testing.T) {
	noLeak(t)
	for _, steps := range []string{"0 open\n0 ask\n3600000 31\n", "0 open\n3600000 31\n"} {
		file := filepath.Join(t.TempDir(), "wait.rec")
		if err := os.WriteFile(file, []byte(goodHead+steps), 0o644); err != nil {
			t.Fatal(err)
		}
		b := newBench(t)
		b.add(gauge("g", "replay:"+file)) // a line gauge is never asked, so the question is never put
		b.state("g", device.StateReading)
		if err := b.hub.Stop(); err != nil {
			t.Fatal(err)
		}
	}
}
