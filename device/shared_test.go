package device_test

import (
	"slices"
	"strings"
	"testing"

	"springline/device"
	"springline/device/simgauge"
	"springline/device/wire"
)

func onLine(id, channel, address string) device.Gauge {
	g := gauge(id, address)
	g.Channel = channel
	g.Format, _ = wire.NamedFormat("two-channel")
	return g
}

// Two gauges on one line are told apart by the channel in each frame; a channel that is nobody's waits for a
// person, and each gauge is told how the line is doing.
func TestGaugesThatShareALine(t *testing.T) {
	noLeak(t)
	b := newBench(t)
	sim := newSim(t, simgauge.Options{})
	b.add(onLine("left", "01", sim.Address()))
	b.add(onLine("right", "02", sim.Address()))
	b.state("right", device.StateReading)
	ready(t, sim)
	send(t, sim, "#01:+0012.345\r#02:-0000.050\r#03:+0001.000\r#01:+0012.346\r")
	b.value("left", "12.345")
	b.value("right", "-0.050")
	u := b.until("channel 03", func(u device.Update) bool { return u.Reading != nil && u.Reading.Event.Sample.Value == "1.000" })
	if s := u.Reading.Event.Sample; s.Accept == wire.Auto || !slices.Contains(s.Flags, device.FlagWhichGauge) ||
		!strings.Contains(u.Unsure.Doubt(), "03") {
		t.Fatalf("a channel that is nobody's counts: %+v", u)
	}
	if r := b.value("left", "12.346"); r.Event.Sample.Accept != wire.Auto {
		t.Fatalf("%+v", r.Event.Sample)
	}
	if st := b.hub.Status(); len(st) != 2 || st[0].Gauge.ID != "left" || st[1].Gauge.ID != "right" || st[1].State != device.StateReading ||
		st[1].Opens != 1 {
		t.Fatalf("status %+v", st)
	}
	if err := sim.Unplug(); err != nil {
		t.Fatal(err)
	}
	b.state("left", device.StateGone)
	b.state("right", device.StateGone)
	_ = sim.Close()
	if err := b.hub.Stop(); err != nil {
		t.Fatal(err)
	}
}

// One gauge of a line is taken out: the other reads on.
func TestOneGaugeLeavesALine(t *testing.T) {
	for _, out := range []string{"left", "right"} {
		b := newBench(t)
		sim := newSim(t, simgauge.Options{})
		b.add(onLine("left", "01", sim.Address()))
		b.add(onLine("right", "02", sim.Address()))
		b.state("right", device.StateReading)
		ready(t, sim)
		if err := b.hub.Remove(out); err != nil {
			t.Fatal(err)
		}
		stays, frame := "right", "#02:-0000.050\r"
		if out == "right" {
			stays, frame = "left", "#01:-0000.050\r"
		}
		b.state(stays, device.StateReading)
		ready(t, sim)
		send(t, sim, frame)
		b.value(stays, "-0.050")
		if err := b.hub.Query(out); err == nil {
			t.Errorf("%s is still connected", out)
		}
	}
}

func TestLineIsSharedByLikeGaugesOnly(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{})
	b.add(onLine("left", "01", sim.Address()))
	twice, other := onLine("again", "01", sim.Address()), onLine("other", "02", sim.Address())
	other.Format.Decimal = "comma"
	for words, g := range map[string]device.Gauge{"is gauge \"left\" already": twice, "the same format": other} {
		if err := b.hub.Add(g, nil); err == nil || !strings.Contains(err.Error(), words) {
			t.Errorf("%s: %v", g.ID, err)
		}
	}
}

// Where no channel was said, the first one that comes is the gauge's; another one is asked about.
func TestSecondChannelIsAskedAbout(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{})
	b.add(onLine("cal", "", sim.Address()))
	ready(t, sim)
	send(t, sim, "#01:+0012.345\r#02:-0000.050\r#01:+0012.346\r")
	for _, want := range []struct {
		value string
		auto  bool
	}{{"12.345", true}, {"-0.050", false}, {"12.346", true}} {
		if r := b.value("cal", want.value); (r.Event.Sample.Accept == wire.Auto) != want.auto {
			t.Errorf("%s: %+v", want.value, r.Event.Sample)
		}
	}
}
