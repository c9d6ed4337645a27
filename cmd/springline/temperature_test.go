package main

import (
	"strings"
	"testing"
)

// Temperatures go on record beside a running bench and without one, and the page shows them.
func TestTemperatureVerb(t *testing.T) {
	sim := plugged(t)
	d := startDaemon(t, oneGaugeJob(sim.Address(), "mm", `{"family": "line", "unit": "required"}`))
	seq := d.begin()
	say := func(want int, words string, args ...string) {
		t.Helper()
		out, errs, code := verb(t, nil, append([]string{"temperature", "--data", d.dir}, args...)...)
		if c := <-code; c != want || !strings.Contains(out.String()+errs.String(), words) {
			t.Errorf("%v: exit %d, %s%s, want %d with %q", args, c, out, errs, want, words)
		}
	}
	say(exitOK, "bar and tape not read")
	say(exitOK, "bar 31 °C, tape 26.5 °C, each within 1 K", "--bar", "31", "--tape", "26,5", "--by", "Ada")
	if v := d.view().Batch.Temperature; v == nil || !strings.HasPrefix(v.Text, "bar 31 °C, tape 26.5 °C") {
		t.Errorf("the page says %+v", v)
	}
	say(exitFailed, "give degrees C", "--bar", "31")
	say(exitFailed, "-40 to 80", "--bar", "310", "--tape", "20")
	say(exitFailed, "no temperatures 4711 that count", "--bar", "31", "--tape", "20", "--instead-of", "4711")
	say(exitUsage, "", "--bar", "31", "--colour", "red")
	d.stop(seq)
	say(exitOK, "tape 20 °C, each within 0.5 K", "--bar", "20", "--tape", "20", "--doubt", "0.5")
	for _, flags := range [][]string{{}, {"--check"}} { // the bench leaves the tables empty
		_, errs, code := verb(t, nil, append([]string{"db", "rebuild", "--data", d.dir}, flags...)...)
		if c := <-code; c != exitOK {
			t.Errorf("tables and record, %v: exit %d, %s", flags, c, errs)
		}
	}
}
