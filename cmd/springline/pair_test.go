package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"springline/cmd/springline/job"
	"springline/cmd/springline/wiring"
	"springline/session/command"
	"springline/session/show"
)

// pairJob is invented: five ribs of a target with one station a side.
const pairJob = `
bench = "yard"
[target]
id = "arch"
name = "shelter arch"
bar_diameter = "12 mm"
grade = "B500B"
yield_mpa = 500
leg = "900 mm"
arc = "4200 mm"
radius = "1600 mm"
face = "centre"
stations_per_side = 1
tolerance_tip = "12 mm"
tolerance_crown = "10 mm"
tolerance_station = "6 mm"
tip_readings = 1
[[gauge]]
id = "tape"
name = "tape"
kind = "tape"
class = "I"
resolution = "0.5 mm"
unit = "mm"
measures = ["tip-to-tip", "crown height"]
[[gauge]]
id = "caliper"
name = "caliper"
kind = "caliper"
largest_error = "0.03 mm"
resolution = "0.01 mm"
unit = "mm"
measures = ["station offset"]
[[lot]]
id = "L1"
grade = "B500B"
bar_length = "6000 mm"
[jig]
id = "J1"
face_radius = "1300 mm"
blocks = 9
[batch]
id = "B1"
title = "shelter"
planned = 6
lot = "L1"
[pairing]
compare = "rms"
limit = "8 mm"
`

// yard measures six ribs in a new data folder: 01 and 03 are mirror images, 02 and 04 nearly equal, 05 and
// 06 alike and unlike all others.
func yard(t *testing.T) (dir string, open func() *wiring.Wired) {
	t.Helper()
	dir = t.TempDir()
	j, err := job.Parse([]byte(pairJob))
	if err != nil {
		t.Fatal(err)
	}
	open = func() *wiring.Wired {
		r, err := wiring.Open(t.Context(), wiring.Config{Dir: dir, Job: &j, Software: "test", Now: time.Now, Start: time.Now()})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	r := open()
	for _, s := range [][2]string{{"3", "-2"}, {"1", "1"}, {"-2", "3"}, {"1", "1.5"}, {"-4", "-4"}, {"-4", "-4"}} {
		for _, c := range []command.Order{{Deed: command.Start{}}, {Deed: command.Type{Text: "3553.6"}},
			{Deed: command.Type{Text: "2061.4"}}, {Deed: command.Type{Text: s[0]}}, {Deed: command.Type{Text: s[1]}}} {
			if a, err := r.Bench.Do(t.Context(), c); err != nil || a.Held {
				t.Fatalf("%+v: %+v %v", c, a, err)
			}
		}
	}
	if _, err := r.Bench.Do(t.Context(), command.Order{Deed: command.Start{}}); err != nil { // 07 is not measured
		t.Fatal(err)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	return dir, open
}

// springline runs a command line and gives its output and exit code.
func springline(t *testing.T, args ...string) (out string, code int) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), system{in: strings.NewReader(""), out: &o, err: &e, now: time.Now, start: time.Now()}, args)
	return o.String() + e.String(), code
}

// The verbs do the same with the record alone and beside a running bench.
func TestPairVerbs(t *testing.T) {
	for _, way := range []string{"alone", "beside"} {
		t.Run(way, func(t *testing.T) {
			dir, open := yard(t)
			if way == "beside" {
				serveBeside(t, dir, open())
			}
			pair := func(want int, says string, args ...string) string {
				t.Helper()
				out, code := springline(t, append([]string{"pair", "--data", dir}, args...)...)
				if code != want || !regexp.MustCompile(says).MatchString(out) {
					t.Fatalf("pair %v: exit %d, want %d, and %q in\n%s", args, code, want, says, out)
				}
				return out
			}
			pair(0, `01 \+ 03 +0\.0 mm +turn 03 end for end.*tag leg A of 01 with leg B of 03 +good enough to lock: locking it now costs nothing`,
				"propose")
			pair(0, `04 .* costs? nothing|04 .* nothing`, "propose", "--rib", "02")
			pair(1, `no such rib that passes`, "propose", "--rib", "77")
			pair(1, `rib "77"`, "lock", "01", "77")
			pair(1, `rib "07" is OPEN: still to measure`, "lock", "01", "07")
			pair(1, `no such rib that passes`, "propose", "--rib", "07")
			pair(2, `2 arg`, "lock", "01")
			pair(0, `02 \+ 05.*locked: the lock cost [0-9.]+ mm`, "lock", "05", "02", "--by", "Ines")
			pair(1, `locked with "05" already`, "lock", "02", "04")
			pair(0, `02 \+ 04`, "release", "02", "05")
			pair(1, `reason`, "forbid", "01", "03")
			pair(0, `01 \+`, "forbid", "01", "03", "--reason", "both bowed")
			pair(0, `01 \+ 03`, "allow", "03", "01")
			pair(1, `weights`, "rule", "--weights", "1 2")
			pair(0, `no pair above 5 mm`, "rule", "--limit", "5 mm")
			pair(1, `confirm the pairs first`, "order")
			pair(1, `have changed since`, "confirm", "--token", "stale", "--by", "Ines")
			token := regexp.MustCompile(`--token ([0-9a-f]+)`).FindStringSubmatch(pair(0, `3.*05 \+ 06`, "propose"))[1]
			pair(1, `needs a person`, "confirm", "--token", token)
			pair(0, `confirmed by Ines`, "confirm", "--token", token, "--by", "Ines")
			order := pair(0, `(?s)1 +05 \+ 06.*2 +02 \+ 04.*3 +01 \+ 03.*proven shortest`, "order", "--first", "06")
			token = regexp.MustCompile(`--confirm ([0-9a-f]+)`).FindStringSubmatch(order)[1]
			pair(1, `is in no confirmed pair`, "order", "--first", "99")
			pair(0, `run order, confirmed by Ines`, "order", "--first", "06", "--confirm", token, "--by", "Ines")
			if again := pair(0, `(?s)run order, confirmed by Ines.*1 +05 \+ 06`, "order"); strings.Contains(again, "--confirm") {
				t.Errorf("a confirmed order is to be confirmed:\n%s", again)
			}
			pair(0, `(?s)run order, provisional.*1 +01 \+ 03.*--confirm`, "order", "--first", "01")
			var v show.PairsView
			if err := json.Unmarshal([]byte(pair(0, `"confirmed"`, "propose", "--json")), &v); err != nil || v.Order == nil ||
				v.Order.Stands[0].A != "05" {
				t.Errorf("%+v, %v", v.Order, err)
			}
			file := filepath.Join(t.TempDir(), "pairs.proof")
			pair(0, `proof is in`, "propose", "--proof", file)
			pair(0, `3 pairs.*proven best`, "prove", file)
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			// One micrometre on one deviation: the proof no longer holds.
			forged := regexp.MustCompile(`(rib "02" "L1" -?\d+ -?\d+ -?\d+ )1000 `).ReplaceAll(text, []byte("${1}1900 "))
			if bytes.Equal(forged, text) {
				t.Fatalf("nothing to forge in\n%s", text)
			}
			if err := os.WriteFile(file, forged, 0o600); err != nil {
				t.Fatal(err)
			}
			pair(exitIntegrity, `check the proof`, "prove", file)
		})
	}
}

// Nothing is made where no record is.
func TestPairWithoutARecord(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "nothing")
	if out, code := springline(t, "pair", "propose", "--data", dir); code != exitFailed || !strings.Contains(out, "--data") {
		t.Errorf("exit %d: %s", code, out)
	}
	if _, err := os.Stat(dir); !os.IsNotExist(err) {
		t.Errorf("a folder was made: %v", err)
	}
}

func waitFor(t *testing.T, ready func() bool) {
	t.Helper()
	for range 3000 {
		if ready() {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatal("what was waited for did not come")
}
