package session

import (
	"context"
	"strings"
	"testing"

	"springline/device"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
)

const lineMM = `{"family":"line","unit":"fixed:mm"}`

// Once a gauge was found in another socket the record says so: after opening again it is looked for there,
// until it is given another address.
func TestGaugeMovedSurvivesARestart(t *testing.T) {
	clk := newClock()
	dir := t.TempDir()
	b := openTest(t, dir, clk)
	setUp(t, b, 1)
	there := caliper
	there.Format = lineMM
	if err := b.Set(t.Context(), command.StateGauge(there.Stated())); err != nil {
		t.Fatal(err)
	}
	id := device.Identity{Vendor: "0403", Product: "6001", Path: "1-1.3", Port: "0"}
	o, err := b.Arrived(device.Update{Gauge: "caliper", State: device.StateReading, Reason: "found in another socket", Identity: &id})
	if err != nil || o.Kind != log.GaugeMoved {
		t.Fatalf("%+v, %v", o, err)
	}
	if n := b.View().Notices[0]; !strings.Contains(n, "1-1.3") {
		t.Errorf("notice %q", n)
	}
	if o, err := b.Arrived(device.Update{Gauge: "stranger", Identity: &id}); err != nil || o.Kind != "" {
		t.Errorf("a gauge that is not on record: %+v, %v", o, err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(t.Context(), testConfig(dir, clk), false); err != nil {
		t.Errorf("tables and record: %v", err)
	}
	b = openTest(t, dir, clk)
	seq := b.View().Seq
	if err := b.Set(t.Context(), command.StateGauge(there.Stated())); err != nil || b.View().Seq != seq { // the job states it as it was
		t.Fatalf("stated again: %v, %d records", err, b.View().Seq-seq)
	}
	list := b.Connections()
	if len(list) != 1 || list[0].ID != "caliper" || list[0].Identity != id {
		t.Fatalf("after opening again: %+v", list)
	}
	if g, err := list[0].Device(); err != nil || g.Identity != id || g.Address != "/dev/ttyUSB0" || g.Kind != device.Caliper ||
		g.Format.Family != "line" {
		t.Errorf("%+v, %v", g, err)
	}
	there.Name = "another name, the same place"
	if err := b.Set(t.Context(), command.StateGauge(there.Stated())); err != nil {
		t.Fatal(err)
	}
	if list := b.Connections(); list[0].Identity != id {
		t.Errorf("renamed, and bound to %s", list[0].Identity)
	}
	there.Address = "/dev/ttyUSB5"
	if err := b.Set(t.Context(), command.StateGauge(there.Stated())); err != nil {
		t.Fatal(err)
	}
	if list := b.Connections(); !list[0].Identity.IsZero() {
		t.Errorf("another address, and still bound to %s", list[0].Identity)
	}
}

func TestGaugeSetCommand(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	with := func(change func(*log.GaugeSetup)) command.SetGauge {
		g := caliper
		g.ID, g.Name, g.Address, g.Format = "depth-2", "second", "/dev/ttyUSB7", lineMM
		change(&g)
		return command.SetGauge(g.Stated())
	}
	set := func(g command.SetGauge) (command.Ack, error) {
		return b.Do(context.Background(), command.Order{Sent: command.Sent{By: "Ada"}, Deed: g})
	}
	before := b.View().Seq
	for _, c := range []struct {
		gauge       command.SetGauge
		code, field string
	}{
		{with(func(g *log.GaugeSetup) { g.Resolution = 0 }), words.CodeBadValue, "gauge"},
		{with(func(g *log.GaugeSetup) { g.Kind = "laser" }), words.CodeBadValue, "kind"},
		{with(func(g *log.GaugeSetup) { g.Unit = "furlong" }), words.CodeBadValue, "unit"},
		{with(func(g *log.GaugeSetup) { g.Format = "{}" }), words.CodeBadValue, "address"},
		{with(func(g *log.GaugeSetup) { g.Line = "fast" }), words.CodeBadValue, "address"},
		{with(func(g *log.GaugeSetup) { g.Address = "/dev/ttyUSB0" }), words.CodeExists, "address"},
	} {
		if _, err := set(c.gauge); !isCode(err, c.code, c.field) {
			t.Errorf("%+v: %v", c.gauge, err)
		}
	}
	if b.View().Seq != before {
		t.Fatal("a refused gauge was recorded")
	}
	good := with(func(g *log.GaugeSetup) {})
	if a, err := set(good); err != nil || a.Kind != log.GaugeSet {
		t.Fatalf("%+v, %v", a, err)
	}
	if _, err := set(good); !isCode(err, words.CodeExists, "gauge") {
		t.Errorf("set again just so: %v", err)
	}
	if l := b.Connections(); len(l) != 2 || l[1].ID != "depth-2" || l[1].Limit != 30*length.Micrometre {
		t.Errorf("%+v", l)
	}
	do(t, b, command.Order{Deed: command.RetireGauge{Gauge: "depth-2", Reason: "dropped"}})
	if l := b.Connections(); len(l) != 1 || l[0].ID == "depth-2" {
		t.Errorf("out of use and still connected: %+v", l)
	}
	if _, err := set(with(func(g *log.GaugeSetup) { g.Name = "third" })); !isCode(err, words.CodeSettled, "gauge") {
		t.Errorf("set a gauge out of use: %v", err)
	}
}

// Tape class, end face and unit are shown, and a check that is not in date stands out.
func TestGaugeKindIsShown(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	inch := tape
	inch.ID, inch.Name, inch.EndFace, inch.Unit = "inch", "inch tape", true, "in"
	if err := b.Set(t.Context(), command.StateGauge(inch.Stated())); err != nil {
		t.Fatal(err)
	}
	do(t, b, command.Order{Deed: command.CheckGauge{Gauge: "caliper", Reference: "25", Readings: []string{"25.01"}}})
	want := []struct {
		kind    string
		overdue bool
	}{{"tape class I, in mm", true}, {"caliper, in mm", false}, {"tape class I, from its end face, in in", true}}
	for i, g := range b.View().Gauges {
		if g.Kind != want[i].kind || g.Overdue != want[i].overdue {
			t.Errorf("%s: %q, overdue %v", g.ID, g.Kind, g.Overdue)
		}
	}
	// A bare number typed for the inch tape is inches, and the end face adds to what the tape may be off.
	do(t, b, command.Order{Deed: command.Start{}})
	nominal := testTarget(t, 1).Round[0].Nominal
	do(t, b, command.Order{Deed: command.Type{Char: "tip", Gauge: "inch", Text: nominal.Text(length.IN, 100*length.Micrometre)}})
	batch, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	m := batch.Ribs[0].Measurements
	if len(m) != 1 || m[0].Unit != "in" || m[0].Value < nominal-mm || m[0].Value > nominal+mm {
		t.Errorf("typed in inches: %+v, wanted %s", m, nominal)
	}
	hooked, _ := batch.Gauge("inch")
	plain, _ := batch.Gauge("tape")
	if d := hooked.PermissibleError(2*length.Metre) - plain.PermissibleError(
		2*length.Metre); d != 100*length.Micrometre { // MI-008: c of class I
		t.Errorf("from the end face a class I tape may be off %s mm more", d)
	}
}
