package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"springline/device/simgauge"
	"springline/session/show"
)

// A gauge that is put on record beside a running bench is connected at once, at another address connected
// anew, and let go when it is taken out of use; the bench started again without a job connects it too.
func TestGaugeAddBesideARunningBench(t *testing.T) {
	first, second, third := plugged(t), plugged(t), plugged(t)
	d := startDaemon(t, oneGaugeJob(first.Address(), "mm", `{"family": "line", "unit": "required"}`))
	seq := d.begin()
	format := filepath.Join(t.TempDir(), "depth.json")
	if err := os.WriteFile(format, []byte(`{"family": "line", "unit": "required"}`+"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	say := func(want int, words string, args ...string) {
		t.Helper()
		out, errs, code := verb(t, nil, append([]string{"gauge"}, append(args, "--data", d.dir)...)...)
		if c := <-code; c != want || !strings.Contains(out.String()+errs.String(), words) {
			t.Errorf("%v: exit %d, %s%s, want %d with %q", args, c, out, errs, want, words)
		}
	}
	add := func(at string, more ...string) []string {
		return append([]string{"add", "depth-2", "--name", "second depth gauge", "--largest-error", "0.05 mm", "--resolution", "0.01 mm",
			"--measures", "station offset", "--address", at, "--format", format}, more...)
	}
	say(exitUsage, "resolution", "add", "depth-2", "--measures", "station offset", "--largest-error", "0.05 mm")
	say(exitUsage, "class", "add", "tape-9", "--kind", "tape", "--resolution", "1 mm", "--measures", "tip-to-tip")
	say(exitUsage, "furlong", add(second.Address(), "--unit", "furlong")...)
	say(exitUsage, "no shape known", add(second.Address(), "--format", "no-such")...)
	say(exitFailed, "is at "+first.Address()+" already", add(first.Address())...)
	say(exitOK, "second depth gauge (depth-2): never checked", add(second.Address())...)
	d.gaugeState("depth-2", "reading")
	say(exitFailed, "just so", add(second.Address())...)
	say(exitOK, "gauge depth-2  second depth gauge  "+second.Address()+"  for station offset", "list")
	heard := func(sim *simgauge.Gauge, want string) {
		t.Helper()
		readerOf(t, sim)
		if err := sim.Send([]byte(want + " mm\r\n")); err != nil {
			t.Fatal(err)
		}
		d.until("value "+want, func(v show.View) bool {
			for _, g := range v.Gauges {
				if g.ID == "depth-2" && strings.HasPrefix(g.LastText, want) {
					return true
				}
			}
			return false
		})
	}
	say(exitOK, "depth-2", add(third.Address())...)
	heard(third, "1.25")
	// Watching leaves the port to the bench and shows what that receives, by id and by address.
	for _, what := range []string{"depth-2", third.Address()} {
		out, errs, code := verb(t, nil, "gauge", "watch", what, "--count", "1", "--data", d.dir)
		if c := <-code; c != exitOK || !strings.Contains(out.String(), "reading") || !strings.Contains(out.String(), "1.25 mm") ||
			!strings.Contains(errs.String(), "a running bench reads depth-2") {
			t.Errorf("watch %s: exit %d, %s%s", what, c, out, errs)
		}
	}
	say(exitOK, "out of use: dropped", "retire", "depth-2", "--reason", "dropped")
	d.gaugeState("depth-2", "ended")
	say(exitFailed, "out of use", add(second.Address())...)
	d.stop(seq)
}
