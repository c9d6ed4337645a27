package device_test

import (
	"bytes"
	"errors"
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

// outcomes writes events without their times.
func outcomes(events []wire.Event) (out []string) {
	for _, e := range events {
		if e.Sample != nil {
			out = append(out, fmt.Sprintf("%s %s %v %s %q", e.Sample.Value, e.Sample.Unit, e.Sample.Flags, e.Sample.Accept, e.Sample.Raw))
		} else {
			out = append(out, fmt.Sprintf("error %s %q", e.Err.Code, e.Err.Raw))
		}
	}
	return out
}

// A recording taken from a real pty, with a loss in a half frame, decodes to what was delivered live,
// and played as a gauge it delivers the same once more.
func TestRecordingDecodesAndReplaysAsItWasLive(t *testing.T) {
	noLeak(t)
	file := filepath.Join(t.TempDir(), "tape.rec")
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	b := newBench(t)
	rec, err := device.NewRecorder(f, time.Now(), device.RecordingHead{Gauge: "tape one", Remarks: []string{"two\nlines"}})
	if err != nil {
		t.Fatal(err)
	}
	sim := newSim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "g")})
	if err := b.hub.Add(gauge("cal", sim.Address()), rec); err != nil {
		t.Fatal(err)
	}
	ready(t, sim)
	send(t, sim, "+1.10 mm\r\n")
	time.Sleep(20 * time.Millisecond)
	send(t, sim, "2.20 mm\r\n\x00\xf8 3.3\r\n")
	time.Sleep(50 * time.Millisecond)
	send(t, sim, "44.40 ") // half of a frame, and the plug is pulled
	if err := errors.Join(sim.Unplug(), sim.Replug()); err != nil {
		t.Fatal(err)
	}
	ready(t, sim)
	send(t, sim, "5.50 in\r\n")
	time.Sleep(10 * time.Millisecond)
	send(t, sim, "6.60 mm\r\n")
	b.until("last value", func(u device.Update) bool {
		return u.Reading != nil && u.Reading.Event.Sample != nil && u.Reading.Event.Sample.Value == "6.60"
	})
	if err := b.hub.Stop(); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(rec.Err(), f.Close()); err != nil {
		t.Fatal(err)
	}
	live := outcomes(eventsOf(b.got))
	if len(live) < 6 {
		t.Fatalf("only %q", live)
	}

	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	tape, err := device.ReadRecording(bytes.NewReader(text))
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	if tape.Head.Gauge != "tape one" || len(tape.Head.Remarks) != 1 || tape.Head.Remarks[0] != "two lines" || tape.Head.Date == "" {
		t.Errorf("head %+v", tape.Head)
	}
	events, err := offline.Decode(tape, line())
	if err != nil {
		t.Fatal(err)
	}
	if got := outcomes(events); strings.Join(got, "\n") != strings.Join(live, "\n") {
		t.Errorf("decoded\n%s\nlive\n%s\n%s", strings.Join(got, "\n"), strings.Join(live, "\n"), text)
	}
	var again bytes.Buffer
	if err := tape.Write(&again); err != nil || again.String() != string(text) {
		t.Errorf("written again: %v\n%s\nwas\n%s", err, again.String(), text)
	}

	r := newBench(t)
	r.add(gauge("replay", "replay:"+file))
	r.state("replay", device.StateEnded)
	if got := outcomes(eventsOf(r.got)); strings.Join(got, "\n") != strings.Join(live, "\n") {
		t.Errorf("replayed\n%s\nlive\n%s", strings.Join(got, "\n"), strings.Join(live, "\n"))
	}
	if err := r.hub.Stop(); err != nil {
		t.Fatal(err)
	}
	_ = sim.Close()
}

func eventsOf(us []device.Update) (out []wire.Event) {
	for _, u := range us {
		if u.Reading != nil {
			out = append(out, u.Reading.Event)
		}
	}
	return out
}

const goodHead = "springline recording 1\ngauge: x\ndate: 2026-03-01\nremarks: a\nremarks: b\n\n"

func TestRecordingErrorsNameTheLine(t *testing.T) {
	for _, c := range []struct{ text, words string }{
		{"", "header"},
		{"something else\n", "line 1"},
		{"springline recording 1\ngauge: x\n", "within its header"},
		{"springline recording 1\ncolour: red\n\n", "line 2"},
		{"springline recording 1\nno colon\n\n", "line 2"},
		{goodHead + "0 31\n-1 31\n", "line 8"},
		{goodHead + "0\n", "line 7"},
		{goodHead + "0 \n", "line 7"},
		{goodHead + "0 3\n", "line 7"},
		{goodHead + "0 3g\n", "line 7"},
		{goodHead + "1.5 31\n", "line 7"},
		{goodHead + "5 31\n4 31\n", "time goes back"},
		{goodHead + "99999999999999 31\n", "line 7"},
		{goodHead + "0 closed\n", "line 7"},
	} {
		_, err := device.ReadRecording(strings.NewReader(c.text))
		if err == nil || !strings.Contains(err.Error(), c.words) {
			t.Errorf("%q: %v, want %q", c.text, err, c.words)
		}
	}
	got, err := device.ReadRecording(strings.NewReader(goodHead + "# a remark\n\n0 open\n5 3132\n7 gone\n"))
	if err != nil || len(got.Steps) != 3 || !got.Steps[0].Open || string(got.Steps[1].Data) != "12" || !got.Steps[2].Gone ||
		len(got.Head.Remarks) != 2 {
		t.Fatalf("%+v, %v", got, err)
	}
}

func FuzzReadRecording(f *testing.F) {
	f.Add(goodHead + "0 open\n5 3132\n7 gone\n")
	f.Add(goodHead)
	f.Add("springline recording 1\n\n# x\n1 00ff\n")
	f.Fuzz(func(t *testing.T, text string) {
		rec, err := device.ReadRecording(strings.NewReader(text))
		if err != nil {
			return
		}
		var b bytes.Buffer
		if err := rec.Write(&b); err != nil {
			t.Fatal(err)
		}
		again, err := device.ReadRecording(&b)
		if err != nil || len(again.Steps) != len(rec.Steps) {
			t.Fatalf("%q: read again: %v, %d steps of %d", text, err, len(again.Steps), len(rec.Steps))
		}
		for i, s := range again.Steps {
			if w := rec.Steps[i]; s.At != w.At || s.Open != w.Open || s.Gone != w.Gone || !bytes.Equal(s.Data, w.Data) {
				t.Fatalf("%q: step %d: %+v, was %+v", text, i, s, w)
			}
		}
	})
}

type fullDisk struct{ room int }

func (f *fullDisk) Write(b []byte) (int, error) {
	if f.room -= len(b); f.room < 0 {
		return 0, errors.New("no space left")
	}
	return len(b), nil
}

// A recording that cannot go on stops; the readings do not.
func TestFullDiskStopsTheRecordingOnly(t *testing.T) {
	b := newBench(t)
	rec, err := device.NewRecorder(&fullDisk{120}, time.Now(), device.RecordingHead{Gauge: "x"})
	if err != nil {
		t.Fatal(err)
	}
	sim := newSim(t, simgauge.Options{})
	if err := b.hub.Add(gauge("cal", sim.Address()), rec); err != nil {
		t.Fatal(err)
	}
	ready(t, sim)
	for i := range 5 {
		send(t, sim, fmt.Sprintf("%d.0 mm\r", i))
		b.value("cal", fmt.Sprintf("%d.0", i))
	}
	if err := rec.Err(); err == nil || !strings.Contains(err.Error(), "no space left") {
		t.Fatalf("the recorder says %v", err)
	}
	if _, err := device.NewRecorder(&fullDisk{3}, time.Now(), device.RecordingHead{}); err == nil {
		t.Fatal("a header that was not written")
	}
}
