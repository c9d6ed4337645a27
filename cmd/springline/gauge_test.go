package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"springline/cmd/springline/job"
	"springline/device/simgauge"
	"springline/device/wire"
)

// shared is a buffer that a verb writes while the test reads.
type shared struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *shared) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *shared) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// verb runs a verb beside the test and gives its output and what it ends with.
func verb(t *testing.T, in io.Reader, args ...string) (out, errs *shared, code <-chan int) {
	t.Helper()
	out, errs = &shared{}, &shared{}
	done := make(chan int, 1)
	ctx, cancel := context.WithTimeout(t.Context(), waitBound)
	t.Cleanup(cancel)
	go func() {
		done <- run(ctx, system{in: in, out: out, err: errs, now: time.Now, start: time.Now()}, args)
	}()
	return out, errs, done
}

func waitForText(t *testing.T, s *shared, words string) {
	t.Helper()
	for end := time.Now().Add(waitBound); !strings.Contains(s.String(), words); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%q does not come in %q", words, s)
		}
	}
}

func plugged(t *testing.T) *simgauge.Gauge {
	t.Helper()
	sim, err := simgauge.New(simgauge.Options{Link: filepath.Join(t.TempDir(), "gauge")})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = sim.Close() })
	return sim
}

func readerOf(t *testing.T, sim *simgauge.Gauge) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), waitBound)
	defer cancel()
	if err := sim.WaitReader(ctx); err != nil {
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond) // what comes within 150 ms of opening may be the tail of an old line
}

func TestGaugeWatch(t *testing.T) {
	sim := plugged(t)
	out, errs, code := verb(t, nil, "gauge", "watch", sim.Address(), "--count", "2", "--json")
	readerOf(t, sim)
	for _, text := range []string{"12.34 mm\r\n", "12\x00.34 mm\r\n", "0.50 in\r\n"} {
		if err := sim.Send([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if c := <-code; c != exitOK {
		t.Fatalf("exit %d: %s", c, errs)
	}
	var got []string
	for _, line := range strings.Split(strings.TrimSpace(out.String()), "\n") {
		var w watched
		if err := json.Unmarshal([]byte(line), &w); err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		got = append(got, strings.Join([]string{w.State, w.Value, w.Unit, w.Error, string(w.Accept), strings.Join(w.Flags, ","), w.Raw}, "|"))
	}
	want := []string{"connecting||||||", "reading||||||", "|12.34|mm||auto||12.34 mm", `|||line_noise|||12\x00.34 mm`,
		"|0.50|in||confirm|unit_changed|0.50 in"}
	if strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A recording is watched as a gauge is, in words.
func TestGaugeWatchOfARecording(t *testing.T) {
	out, errs, code := verb(t, nil, "gauge", "watch", "replay-fast:../../testdata/gauges/line-status.rec", "--format", "line-status")
	if c := <-code; c != exitOK {
		t.Fatalf("exit %d: %s", c, errs)
	}
	for _, words := range []string{"2684.50 mm  low battery  [2684.50 mm B]", "2684.60 mm  would wait: hold", "refused: unknown status",
		"ended"} {
		if !strings.Contains(out.String(), words) {
			t.Errorf("%q is not in\n%s", words, out)
		}
	}
	_, errs, code = verb(t, nil, "gauge", "watch", "replay:nowhere.rec")
	if c := <-code; c != exitFailed || !strings.Contains(errs.String(), "nowhere.rec") {
		t.Errorf("a recording that is not there: exit %d, %s", c, errs)
	}
	for _, args := range [][]string{{"COM3"}, {"/dev/ttyUSB0", "--format", "triangle"}, {"/dev/ttyUSB0", "--line", "fast"}, {}} {
		_, errs, code = verb(t, nil, append([]string{"gauge", "watch"}, args...)...)
		if c := <-code; c != exitUsage {
			t.Errorf("%v: exit %d, %s", args, c, errs)
		}
	}
}

// What is learned from three values decodes a fourth as it is shown.
func TestGaugeLearn(t *testing.T) {
	sim := plugged(t)
	in, typing := io.Pipe()
	out, errs, code := verb(t, in, "gauge", "learn", sim.Address())
	readerOf(t, sim)
	for i, v := range [][2]string{{"R+0012.34mm\r\n", "12.34 mm"}, {"R-0000.05mm\r\n", "-0.05 mm"}, {"R+1250.00mm\r\n", "1250.00 mm"}} {
		waitForText(t, errs, fmt.Sprintf("value %d:", i+1))
		if err := sim.Send([]byte(v[0])); err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(typing, v[1]+"\n"); err != nil {
			t.Fatal(err)
		}
	}
	waitForText(t, errs, "value 4:")
	if _, err := io.WriteString(typing, "\n"); err != nil {
		t.Fatal(err)
	}
	if c := <-code; c != exitOK {
		t.Fatalf("exit %d: %s", c, errs)
	}
	_, text, found := strings.Cut(out.String(), "format = '''")
	if !found {
		t.Fatalf("no format in %q", out)
	}
	f, err := wire.ParseFormat([]byte(strings.TrimSuffix(strings.TrimSpace(text), "'''")))
	if err != nil {
		t.Fatalf("%v in %s", err, out)
	}
	ev, err := wire.Replay(f, []wire.Chunk{{At: time.Second, Bytes: []byte("R-0007.25mm\r\n")}})
	if err != nil || len(ev) != 1 || ev[0].Sample == nil || ev[0].Sample.Value != "-7.25" || ev[0].Sample.Unit != "mm" ||
		ev[0].Sample.Accept != wire.Auto {
		t.Errorf("learned %s decodes %+v %v", text, ev, err)
	}
}

func TestGaugeLearnAsksAndSaysWhatIsWrong(t *testing.T) {
	n := 0
	sim, err := simgauge.New(simgauge.Options{Reply: func([]byte) []byte {
		n++
		return []byte([]string{"+1.25000E-02\n", "-2.50000E-03\n"}[(n-1)%2])
	}})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = sim.Close() })
	out, errs, code := verb(t, strings.NewReader("0.0125 m\n-0.0025 m\n"), "gauge", "learn", sim.Address(), "--family", "query", "--ask",
		"524541443f0a", "--json")
	if c := <-code; c != exitOK {
		t.Fatalf("exit %d: %s", c, errs)
	}
	var fits []learned
	if err := json.Unmarshal([]byte(out.String()), &fits); err != nil || len(fits) == 0 || fits[0].Format.Number != "nr3" ||
		fits[0].Format.QueryHex != "524541443f0a" {
		t.Errorf("learned %s (%v)", out, err)
	}
	if got := string(sim.Received()); got != "READ?\nREAD?\n" {
		t.Errorf("the gauge was asked %q", got)
	}
	_, errs, code = verb(t, strings.NewReader("9.99 mm\n"), "gauge", "learn", sim.Address(), "--family", "query", "--ask", "524541443f0a")
	if c := <-code; c != exitFailed || !strings.Contains(errs.String(), "learn the gauge") {
		t.Errorf("another value than sent: exit %d, %s", c, errs)
	}
	for _, args := range [][]string{{sim.Address(), "--ask", "52"}, {sim.Address(), "--family", "query"}, {sim.Address(), "--line", "x"},
		{"x"}} {
		_, errs, code = verb(t, strings.NewReader(""), append([]string{"gauge", "learn"}, args...)...)
		if c := <-code; c != exitUsage {
			t.Errorf("%v: exit %d, %s", args, c, errs)
		}
	}
}

func TestGaugeList(t *testing.T) {
	out, errs, code := verb(t, nil, "gauge", "list")
	if c := <-code; c != exitOK || out.String() == "" {
		t.Fatalf("exit %d: %s%s", c, out, errs)
	}
	out, errs, code = verb(t, nil, "gauge", "list", "--json")
	var list struct{ Ports, Gauges []any }
	if c := <-code; c != exitOK || json.Unmarshal([]byte(out.String()), &list) != nil || list.Ports == nil || list.Gauges == nil {
		t.Fatalf("exit %d: %s%s", c, out, errs)
	}
	_, errs, code = verb(t, nil, "gauge", "list", "--data", filepath.Join(t.TempDir(), "none"))
	if c := <-code; c == exitOK {
		t.Errorf("a folder that is not there: exit %d, %s", c, errs)
	}
}

// A gauge is checked and taken out of use beside a running bench and without one; the page and the record say
// so, and the job stating the gauge again changes nothing of it.
func TestGaugeCheckAndRetireVerbs(t *testing.T) {
	sim := plugged(t)
	d := startDaemon(t, oneGaugeJob(sim.Address(), "mm", `{"family": "line", "unit": "required"}`))
	seq := d.begin()
	say := func(want int, words string, args ...string) {
		t.Helper()
		out, errs, code := verb(t, nil, append([]string{"gauge"}, append(args, "--data", d.dir)...)...)
		if c := <-code; c != want || !strings.Contains(out.String()+errs.String(), words) {
			t.Errorf("%v: exit %d, %s%s, want %d with %q", args, c, out, errs, want, words)
		}
	}
	say(exitOK, "in date until 31 January 2099", "check", "g", "1000.1", "999.9", "--reference", "1000", "--against", "rule 4", "--by",
		"Ada", "--due", "2099-01-31")
	if c := d.view().Gauges[0].Check; c != "in date until 31 January 2099" {
		t.Errorf("the page says %q", c)
	}
	say(exitOK, "off by +0.7 mm, NOT within the 0.505 mm allowed", "check", "g", "1000.7", "--reference", "1000")
	say(exitFailed, "25,000", "check", "g", "25,000", "--reference", "25")
	say(exitFailed, "not on record", "check", "no-such", "25", "--reference", "25")
	say(exitUsage, "--reference", "check", "g")
	say(exitOK, "with the reference within 0.01 mm", "check", "g", "1000", "--reference", "1000", "--doubt", "0.01 mm", "--every", "365")
	say(exitUsage, "--every", "check", "g", "1000", "--reference", "1000", "--every", "0x")
	say(exitUsage, "1 to 3660", "check", "g", "1000", "--reference", "1000", "--every", "9999")
	say(exitFailed, `read "x"`, "check", "g", "1000", "--reference", "1000", "--doubt", "x")
	d.stop(seq)
	say(exitOK, "check FAILED on ", "check", "g", "1000.6", "--reference", "1000")
	// Without a bench the gauge is read for its check, and what it garbles is not counted; typing works beside it.
	checked, said, done := verb(t, strings.NewReader("1000.2\n"), "gauge", "check", "g", "--reference", "1000", "--data", d.dir)
	readerOf(t, sim)
	for _, text := range []string{"1000.10 mm\r\n", "10\x0000.1 mm\r\n", "999.90 mm\r\n"} {
		if err := sim.Send([]byte(text)); err != nil {
			t.Fatal(err)
		}
	}
	if c := <-done; c != exitOK || !strings.Contains(checked.String(), "spread 0.3 mm, within the 0.505 mm allowed") ||
		!strings.Contains(said.String(), "not counted") {
		t.Errorf("read by the gauge: exit %d, %s%s", c, checked, said)
	}
	say(exitFailed, "reason", "retire", "g")
	say(exitOK, "out of use: lost its zero", "retire", "g", "--reason", "lost its zero")
	say(exitFailed, "out of use", "check", "g", "1000", "--reference", "1000")
	_, errs, code := verb(t, nil, "db", "rebuild", "--data", d.dir)
	if c := <-code; c != exitOK {
		t.Errorf("tables and record: exit %d, %s", c, errs)
	}
}

func TestGaugeAdd(t *testing.T) {
	file := filepath.Join(t.TempDir(), "job.toml")
	if err := os.WriteFile(file, job.Example(), 0o644); err != nil {
		t.Fatal(err)
	}
	add := func(want int, words string, args ...string) {
		t.Helper()
		out, errs, code := verb(t, nil, append([]string{"gauge", "add"}, args...)...)
		if c := <-code; c != want || !strings.Contains(out.String()+errs.String(), words) {
			t.Errorf("%v: exit %d, %s%s, want %d with %q", args, c, out, errs, want, words)
		}
	}
	add(exitOK, "has gauge depth-2 at tcp://127.0.0.1:4001 for station offset", "depth-2", "--job", file, "--largest-error", "0.05 mm",
		"--resolution", "0.01 mm",
		"--measures", "station offset", "--address", "tcp://127.0.0.1:4001", "--format",
		`{"family": "fixed", "layout": "'#' CC ':' sign 8-char number CR", "unit": "fixed:mm"}`, "--channel", "02", "--line", "4800 7E1")
	text, err := os.ReadFile(file)
	if err != nil || !strings.HasPrefix(string(text), strings.TrimRight(string(job.Example()), "\n")) {
		t.Fatalf("the rest of the file changed (%v)", err)
	}
	j, err := job.Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	if g := j.Gauges[len(j.Gauges)-1]; g.ID != "depth-2" || g.Name != "depth-2" || g.Channel != "02" || g.Line != "4800 7E1" ||
		!strings.Contains(g.Format, "layout") {
		t.Errorf("%+v", g)
	}
	add(exitFailed, "already", "depth-2", "--job", file, "--resolution", "0.01 mm")
	add(exitUsage, "resolution", "depth-3", "--job", file, "--measures", "station offset")
	add(exitUsage, "address", "depth-3", "--job", file, "--resolution", "0.01 mm", "--largest-error", "0.05 mm", "--measures",
		"station offset", "--format", "line-mm")
	add(exitUsage, "resolution", "depth-3", "--data", t.TempDir())
	if again, _ := os.ReadFile(file); string(again) != string(text) {
		t.Error("a refused gauge changed the file")
	}
}
