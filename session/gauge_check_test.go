package session

import (
	"slices"
	"strings"
	"testing"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

// The limits are those of Directive 2014/32/EU, Annex X (MI-008): 0.1 mm + 0.1 mm for each metre begun for
// class I, so 0.2 mm at 1 m; half a step of 0.5 mm is added for reading.
func TestGaugeCheck(t *testing.T) {
	clk := newClock()
	dir := t.TempDir()
	b := openTest(t, dir, clk)
	setUp(t, b, 1)
	state := func() (show.GaugeView, qc.Gauge) {
		t.Helper()
		batch, err := b.Batch("B1")
		if err != nil {
			t.Fatal(err)
		}
		return b.View().Gauges[0], batch.Gauges[0]
	}
	if v, _ := state(); v.Check != "never checked" {
		t.Fatalf("check %q", v.Check)
	}
	do(t, b, command.Order{Sent: command.Sent{Key: "k1", By: "Ada"},
		Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Due: "2027-05-04", Reason: "block 7", Readings: []string{"1000", "1000.25"}}})
	v, g := state()
	if v.Check != "in date until 4 May 2027" || g.Calibration(clk.now()) != qc.CheckInDate ||
		g.Note() != "at 1000 mm off by +0.125 mm, spread 0.25 mm, within the 0.45 mm allowed, against block 7" {
		t.Errorf("%q, %+v", v.Check, g)
	}
	if st := g.Calibration(g.Due.Add(time.Hour)); st != qc.CheckDue {
		t.Errorf("after the day it is due: %s", st)
	}
	// The job stating the gauge again as it was does not undo the check, and records nothing.
	before := b.View().Seq
	if err := b.Set(t.Context(), command.StateGauge(tape.Stated())); err != nil {
		t.Fatal(err)
	}
	if v, _ := state(); b.View().Seq != before || v.Check != "in date until 4 May 2027" {
		t.Errorf("stated again: %q, %d records", v.Check, b.View().Seq-before)
	}
	renamed := tape
	renamed.Name = "tape by another name"
	if err := b.Set(t.Context(), command.StateGauge(renamed.Stated())); err != nil {
		t.Fatal(err)
	}
	if v, _ := state(); v.Name != "tape by another name" || v.Check != "in date until 4 May 2027" {
		t.Errorf("changed: %q %q", v.Name, v.Check)
	}
	// One reading beyond what is allowed fails the check, whatever the mean says.
	do(t, b, command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"999.5", "1000.5"}}})
	v, g = state()
	if !strings.HasPrefix(v.Check, "check FAILED on ") || !strings.Contains(v.Check,
		"off by 0 mm, spread 1 mm, NOT within the 0.45 mm allowed") || g.Calibration(clk.now()) != qc.CheckFailed ||
		!strings.Contains(b.View().Notices[0], "NOT within") {
		t.Errorf("%q, %+v, %q", v.Check, g, b.View().Notices[0])
	}
	// 0.4 mm off of 0.45 mm allowed: in with a reference known to 0.05 mm, not with one known to 0.06 mm.
	for doubt, want := range map[string]string{"0.05": "in date", "0.06": "check FAILED"} {
		do(t, b, command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Doubt: doubt, Due: "2027-05-04",
			Readings: []string{"1000.4"}}})
		if v, g := state(); !strings.HasPrefix(v.Check, want) || !strings.Contains(g.Note(), "with the reference within "+doubt+" mm") {
			t.Errorf("reference within %s mm: %q, %q", doubt, v.Check, g.Note())
		}
	}
	do(t, b, command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"999.5", "1000.5"}}})
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(t.Context(), testConfig(dir, clk), false); err != nil {
		t.Errorf("tables and record: %v", err)
	}
	b = openTest(t, dir, clk)
	if v, _ := state(); !strings.HasPrefix(v.Check, "check FAILED on ") {
		t.Errorf("after opening again: %q", v.Check)
	}
}

func TestGaugeCheckRefusals(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	before := b.View().Seq
	for _, c := range []struct {
		c           command.CheckGauge
		code, field string
	}{
		{command.CheckGauge{Gauge: "none", Reference: "1000", Readings: []string{"1000"}}, words.CodeUnknown, "gauge"},
		{command.CheckGauge{Gauge: "tape", Reference: "", Readings: []string{"1000"}}, string(length.Empty), "reference"},
		{command.CheckGauge{Gauge: "tape", Reference: "0", Readings: []string{"1000"}}, words.CodeBadValue, "reference"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: nil}, words.CodeMissing, "readings"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{}}, words.CodeMissing, "readings"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"1,000"}}, string(length.AmbiguousSeparator), "readings"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: slices.Repeat([]string{"1"}, 51)}, words.CodeMissing, "readings"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"1000"}, Due: "soon"}, words.CodeBadValue, "due"},
		{command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"1000"}, Due: "2020-01-01"}, words.CodeBadValue, "due"},
	} {
		_, err := b.Do(t.Context(), command.Order{Deed: c.c})
		wantCode(t, err, c.code)
		if ce, ok := err.(*words.Refusal); ok && ce.Field != c.field {
			t.Errorf("%+v: field %q, want %q", c.c, ce.Field, c.field)
		}
	}
	_, err := b.Do(t.Context(), command.Order{Deed: command.RetireGauge{Gauge: "tape"}})
	wantCode(t, err, words.CodeMissing)
	if b.View().Seq != before {
		t.Error("a refusal was recorded")
	}
}

// A retired gauge's values are refused, sent or typed; what it measured before stays.
func TestGaugeRetired(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	send(t, b, "tape", "3553.5", clk.now())
	send(t, b, "tape", "139.9", clk.now()) // held
	held := b.View().Held[0].Seq
	do(t, b, command.Order{Deed: command.RetireGauge{Gauge: "tape", Reason: "kinked at 2 m"}})
	if o := send(t, b, "tape", "3553.6", clk.now()); o.Kind != log.Refused {
		t.Errorf("sent: %s", o.Kind)
	}
	for _, c := range []command.Order{{Deed: command.Type{Gauge: "tape", Text: "3553.6"}}, {Deed: command.Take{Seq: held}},
		{Deed: command.RetireGauge{Gauge: "tape", Reason: "again"}}} {
		_, err := b.Do(t.Context(), c)
		wantCode(t, err, words.CodeSettled)
	}
	if v := b.View(); v.Gauges[0].Check != "out of use: kinked at 2 m" || len(v.Current.Steps[0].Seqs) != 1 {
		t.Errorf("%q, %+v", v.Gauges[0].Check, v.Current.Steps[0])
	}
}

// A batch that takes checked gauges only holds the values of others, typed or sent, until a check is passed.
func TestCheckedGaugesOnly(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.CloseBatch{}})
	if err := b.Set(t.Context(), command.BatchSetup{ID: "B2", Planned: 2, Target: "shelter", Revision: 1, Decision: qc.DefaultDecision,
		Jig: "J1", Lot: "L1", CheckedOnly: true}.Deed()); err != nil {
		t.Fatal(err)
	}
	do(t, b, command.Order{Deed: command.Start{}})
	if o := send(t, b, "tape", "3553.5", clk.now()); o.Kind != log.Held {
		t.Fatalf("sent: %s", o.Kind)
	}
	if a := do(t, b, command.Order{Deed: command.Type{Text: "3553.6"}}); !a.Held || !strings.Contains(a.Reason, "never checked") {
		t.Errorf("typed: %+v", a)
	}
	h := b.View().Held
	_, err := b.Do(t.Context(), command.Order{Deed: command.Take{Seq: h[0].Seq}})
	wantCode(t, err, words.CodeBadValue)
	do(t, b, command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"1000.1"}}})
	do(t, b, command.Order{Deed: command.Take{Seq: h[0].Seq}})
	if o := send(t, b, "tape", "3553.7", clk.now()); o.Kind != log.Measured {
		t.Errorf("after the check: %s", o.Kind)
	}
}
