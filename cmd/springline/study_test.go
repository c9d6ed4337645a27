package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"springline/cmd/springline/wiring"
	"springline/session/show"
	"springline/session/web"
)

// A whole study by the verbs alone: laid out, measured step by step as each is shown, paused, one reading
// withdrawn and taken again, finished, printed; and the report is the same bytes each time.
func TestStudyByTheVerbs(t *testing.T) {
	t.Parallel()
	for _, way := range []string{"alone", "beside"} {
		t.Run(way, func(t *testing.T) {
			dir, open := yard(t)
			if way == "beside" {
				serveBeside(t, dir, open())
			}
			studyByTheVerbs(t, dir)
		})
	}
}

// serveBeside has the bench serve its page until the test ends.
func serveBeside(t *testing.T, dir string, r *wiring.Wired) {
	t.Helper()
	l, err := web.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- r.Serve(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := errors.Join(<-done, r.Close()); err != nil {
			t.Error(err)
		}
	})
	waitFor(t, func() bool { _, err := os.Stat(filepath.Join(dir, "page-address")); return err == nil })
}

func studyByTheVerbs(t *testing.T, dir string) {
	t.Helper()
	do := func(code int, args ...string) string {
		t.Helper()
		out, got := springline(t, append([]string{"study", "--data", dir}, args...)...)
		if got != code {
			t.Fatalf("%v: exit %d, want %d\n%s", args, got, code, out)
		}
		return out
	}
	want := func(text, part string) {
		t.Helper()
		if !strings.Contains(text, part) {
			t.Fatalf("lacks %q:\n%s", part, text)
		}
	}
	shown := func() (v show.StudyView) {
		t.Helper()
		if err := json.Unmarshal([]byte(do(0, "show", "--json")), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	want(do(1, "show"), "no gauge study is on record")
	want(do(1, "report"), "none is finished")
	want(do(1, "start", "--char", "tip", "--ribs", "01,02", "--persons", "Ines,Otto"), "give 5 to 20")
	want(do(0, "start", "--char", "tip", "--ribs", "01,02,03,04,05", "--persons", "Ines,Otto", "--repeats", "2"),
		"0 of 20 readings taken. Readings go to the gauge study, not to a rib.")
	read := map[string]float64{"01": 0, "02": 4, "03": 8, "04": -4, "05": -8}
	step := func(n int) {
		t.Helper()
		v := shown()
		do(0, "type", fmt.Sprintf("%.1f mm", 3550+read[v.Step.Rib]+0.1*float64(n%3)), "--by", v.Step.Person)
	}
	for n := range 9 {
		step(n)
	}
	want(do(0, "pause"), "9 of 20 readings taken. The gauge study is paused. Readings go to the ribs.")
	want(do(1, "type", "3550"), "it is paused")
	want(do(1, "result"), "9 of 20 readings are taken")
	want(do(0, "resume"), "step 10: ")
	want(do(1, "finish"), "9 of its 20 readings")
	for n := 9; n < 20; n++ {
		step(n)
	}
	want(do(0, "result"), "to count the repeatability from now on")
	want(do(0, "finish", "--by", "Ines"), "finished")
	var res show.StudyResultView
	if err := json.Unmarshal([]byte(do(0, "result", "--json")), &res); err != nil || res.RepeatNM == 0 || res.RepeatDOF < 10 ||
		len(res.Table) < 3 {
		t.Fatalf("%+v, %v", res, err)
	}
	text := do(0, "report")
	for _, part := range []string{"Gauge study: tape, tip-to-tip", "GOOD", "same person, same rib (repeatability)", "Analysis of variance",
		"Otto", "licensed engineer"} {
		want(text, part)
	}
	want(do(2, "report", "--out", filepath.Join(dir, "x.csv")), "none of .pdf, .html and .txt")
	var files [2][]byte
	for i := range files {
		name := filepath.Join(t.TempDir(), "study.pdf")
		do(0, "report", "--out", name)
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		files[i] = b
	}
	if !bytes.Equal(files[0], files[1]) || !bytes.HasPrefix(files[0], []byte("%PDF-")) {
		t.Error("the same record gives other bytes")
	}
	if dump := os.Getenv("REPORTS_DUMP"); dump != "" {
		if err := os.WriteFile(filepath.Join(dump, "study-yard.pdf"), files[0], 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want(do(1, "cancel", "--reason", "late"), "no gauge study is open")
}
