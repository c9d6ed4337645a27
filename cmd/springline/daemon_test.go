package main

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"springline/cmd/springline/job"
	"springline/session"
	"springline/session/show"
)

// daemon is the real program serving a bench: the test binary under the program's name, see TestMain.
type daemon struct {
	t   *testing.T
	dir string // data folder, with the program's own recording in recorded
	url string
	cmd *exec.Cmd

	mu  sync.Mutex
	log bytes.Buffer
}

// waitBound ends a wait that would never end; it is no measure of speed.
const waitBound = time.Minute

// startDaemon runs "springline bench" with a job and waits until its page answers.
func startDaemon(t *testing.T, jobFile string) *daemon {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	d := &daemon{t: t, dir: t.TempDir()}
	program, file := filepath.Join(t.TempDir(), "springline"), filepath.Join(t.TempDir(), "job.toml")
	if err := os.Symlink(self, program); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(jobFile), 0o644); err != nil {
		t.Fatal(err)
	}
	d.cmd = exec.Command(program, "bench", "--data", d.dir, "--job", file, "--listen", "127.0.0.1:0", "--record",
		filepath.Join(d.dir, "recorded"))
	errs, err := d.cmd.StderrPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if d.cmd.ProcessState == nil {
			_ = d.cmd.Process.Kill()
			_ = d.cmd.Wait()
		}
		if t.Failed() {
			d.mu.Lock()
			defer d.mu.Unlock()
			t.Logf("the program said:\n%s", d.log.String())
		}
	})
	url := make(chan string, 1)
	go d.listen(errs, url)
	select {
	case d.url = <-url:
	case <-time.After(waitBound):
		t.Fatal("the program does not name its page")
	}
	return d
}

var pageAt = regexp.MustCompile(`http://127\.0\.0\.1:\d+`)

func (d *daemon) listen(r io.Reader, url chan<- string) {
	sc := bufio.NewScanner(r)
	for sc.Scan() {
		d.mu.Lock()
		d.log.WriteString(sc.Text() + "\n")
		d.mu.Unlock()
		if u := pageAt.FindString(sc.Text()); u != "" {
			select {
			case url <- u:
			default:
			}
		}
	}
}

// post sends one JSON object and wants it taken.
func (d *daemon) post(path string, fields map[string]any) {
	d.t.Helper()
	body, err := json.Marshal(fields)
	if err != nil {
		d.t.Fatal(err)
	}
	resp, err := http.Post(d.url+path, "application/json", bytes.NewReader(body))
	if err != nil {
		d.t.Fatal(err)
	}
	defer resp.Body.Close()
	if said, _ := io.ReadAll(resp.Body); resp.StatusCode >= 300 {
		d.t.Fatalf("%s %s: %s %s", path, body, resp.Status, said)
	}
}

func (d *daemon) view() (v show.View) {
	d.t.Helper()
	resp, err := http.Get(d.url + "/api/view")
	if err != nil {
		d.t.Fatal(err)
	}
	defer resp.Body.Close()
	if err := json.NewDecoder(resp.Body).Decode(&v); err != nil {
		d.t.Fatal(err)
	}
	return v
}

// until waits for a view and gives it with the time it took.
func (d *daemon) until(what string, ok func(show.View) bool) (show.View, time.Duration) {
	d.t.Helper()
	for start := time.Now(); ; time.Sleep(10 * time.Millisecond) {
		v := d.view()
		if ok(v) {
			return v, time.Since(start)
		}
		if time.Since(start) > waitBound {
			d.t.Fatalf("no %s; the bench shows %s", what, brief(v))
		}
	}
}

func brief(v show.View) string {
	b, _ := json.Marshal(struct {
		Seq     int64
		Gauges  []show.GaugeView
		Held    []show.HeldView
		Last    *show.LastView
		Notices []string
	}{v.Seq, v.Gauges, v.Held, v.Last, v.Notices})
	return string(b)
}

// gaugeState waits until the page shows the gauge in a state.
func (d *daemon) gaugeState(id, state string) time.Duration {
	d.t.Helper()
	_, took := d.until(id+" "+state, func(v show.View) bool {
		for _, g := range v.Gauges {
			if g.ID == id {
				return g.State == state
			}
		}
		return false
	})
	return took
}

// stop ends the program as Ctrl-C does and gives the records after seq.
func (d *daemon) stop(seq int64) []session.Stored {
	d.t.Helper()
	if err := d.cmd.Process.Signal(unix.SIGINT); err != nil {
		d.t.Fatal(err)
	}
	if err := d.cmd.Wait(); err != nil {
		d.t.Fatalf("the program ended with %v", err)
	}
	b, err := session.OpenReadOnly(d.t.Context(), session.Config{Dir: d.dir, Software: "springline test", Now: time.Now})
	if err != nil {
		d.t.Fatal(err)
	}
	defer b.Close()
	list, err := b.Since(d.t.Context(), 1, seq, 10_000)
	if err != nil {
		d.t.Fatal(err)
	}
	return list
}

// oneGaugeJob is the example job with one gauge that measures everything on the rib.
func oneGaugeJob(address, unit, format string) string {
	at := ""
	if address != "" {
		at = fmt.Sprintf("address = %q\n", address)
	}
	text := string(job.Example())
	from, to := strings.Index(text, "[[gauge]]"), strings.Index(text, "[[lot]]")
	return text[:from] + fmt.Sprintf(`[[gauge]]
id = "g"
name = "gauge on test"
kind = "caliper"
largest_error = "0.5 mm"
resolution = "0.01 mm"
unit = %q
measures = ["tip-to-tip", "crown height", "station offset"]
checked = "2026-09-01"
due = "2036-09-01"
%sformat = '''%s'''

`, unit, at, format) + text[to:]
}
