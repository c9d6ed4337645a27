package session

import (
	"context"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/session/command"
	"springline/session/log"
)

// clock is a hand-driven clock.
type clock struct{ t time.Time }

func newClock() *clock {
	return &clock{t: time.Date(2026, 5, 4, 8, 0, 0, 0, time.FixedZone("", 7200))}
}

func (c *clock) now() time.Time { c.t = c.t.Add(5 * time.Second); return c.t }

const mm = length.Millimetre

func testSpec(stations int) qc.ArchSpec {
	return qc.ArchSpec{
		ID: "shelter", Name: "shelter rib", Revision: 1,
		Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm, Face: qc.Centre, StationsPerSide: stations,
		TolTip: 12 * mm, TolCrown: 10 * mm, TolStation: 6 * mm, TipRepeats: 2, Band: 2 * mm,
	}
}

func testTarget(t testing.TB, stations int) qc.Target {
	t.Helper()
	target, err := qc.NewArch(testSpec(stations))
	if err != nil {
		t.Fatal(err)
	}
	return target
}

func testConfig(dir string, c *clock) Config {
	return Config{Dir: dir, Bench: "bench-1", Software: "springline test", Now: c.now, Log: zerolog.Nop()}
}

var tape = log.GaugeSetup{Gauge: qc.Gauge{ID: "tape", Name: "long tape", Kind: qc.Tape, Class: "I", Resolution: mm / 2, Unit: "mm",
	Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight, qc.LegLength}}}

var caliper = log.GaugeSetup{Gauge: qc.Gauge{ID: "caliper", Name: "depth caliper", Kind: qc.Caliper, Limit: 30 * length.Micrometre,
	Resolution: 10 * length.Micrometre, Unit: "mm",
	Measures: []qc.Kind{qc.StationOffset}}, Address: "/dev/ttyUSB0"}

// openTest opens a bench with an open batch in dir.
func openTest(t testing.TB, dir string, c *clock) *Bench {
	t.Helper()
	b, err := Open(context.Background(), testConfig(dir, c))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return b
}

func setUp(t testing.TB, b *Bench, stations int) qc.Target {
	t.Helper()
	target := testTarget(t, stations)
	for _, err := range setUpAll(b, target) {
		if err != nil {
			t.Fatal(err)
		}
	}
	return target
}

func setUpAll(b *Bench, target qc.Target) []error {
	ctx := context.Background()
	return []error{
		b.Set(ctx, command.StateGauge(tape.Stated())), b.Set(ctx, command.StateGauge(caliper.Stated())),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L1", Grade: "B500B", BarLength: 6000 * mm})),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L2", Grade: "B500B", BarLength: 6000 * mm})),
		b.Set(ctx, command.JigDeed(qc.Jig{ID: "J1", FaceRadius: 1300 * mm, Blocks: 9})),
		b.Set(ctx, command.TargetDeed(target)),
		b.Set(ctx, command.BatchSetup{ID: "B1", Title: "shelter", Planned: 24, Target: target.ID, Revision: 1, Decision: qc.DefaultDecision,
			Jig: "J1", Lot: "L1"}.Deed()),
	}
}

func do(t testing.TB, b *Bench, c command.Order) command.Ack {
	t.Helper()
	a, err := b.Do(context.Background(), c)
	if err != nil {
		t.Fatalf("%+v: %v", c, err)
	}
	return a
}

func send(t testing.TB, b *Bench, gauge, value string, at time.Time) Outcome {
	t.Helper()
	o, err := b.Arrived(update(gauge, sample(value), at))
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// update is a sample as the gauge's connection delivers it.
func update(gauge string, s wire.Sample, at time.Time) device.Update {
	return device.Update{Gauge: gauge, State: device.StateReading,
		Reading: &device.Reading{Gauge: gauge, Event: wire.Event{Sample: &s}, Wall: at}}
}

// sample is a clean value in millimetres.
func sample(value string) wire.Sample {
	return wire.Sample{Value: value, Unit: "mm", Accept: wire.Auto, Raw: []byte(value)}
}
