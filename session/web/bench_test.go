package web

import (
	"context"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"springline/qc"
	"springline/qc/length"
	"springline/session"
	"springline/session/command"
	"springline/session/log"
)

const mm = length.Millimetre

// realBench is a bench in a temporary folder with a batch open: a rib with one station a side, read with
// a tape and a station caliper that are typed.
func realBench(t *testing.T, dir string) *session.Bench {
	t.Helper()
	ctx := context.Background()
	b, err := session.Open(ctx, session.Config{Dir: dir, Bench: "bench-1", Software: "springline test", Now: time.Now, Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	target, err := qc.NewArch(qc.ArchSpec{
		ID: "shelter", Name: "shelter rib", Revision: 1,
		Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm, Face: qc.Centre, StationsPerSide: 1,
		TolTip: 12 * mm, TolCrown: 10 * mm, TolStation: 6 * mm, TipRepeats: 2, Band: 2 * mm,
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{
		b.Set(ctx, command.StateGauge(log.GaugeSetup{Gauge: qc.Gauge{ID: "tape", Name: "long tape", Kind: qc.Tape, Class: "I",
			Resolution: mm / 2, Unit: "mm",
			Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight}}}.Stated())),
		b.Set(ctx, command.StateGauge(log.GaugeSetup{Gauge: qc.Gauge{ID: "caliper", Name: "station caliper", Kind: qc.Caliper,
			Limit:      30 * length.Micrometre,
			Resolution: 10 * length.Micrometre, Unit: "mm", Measures: []qc.Kind{qc.StationOffset}}}.Stated())),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L1", Grade: "B500B", BarLength: 6000 * mm})),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L2", Grade: "B500B", BarLength: 6000 * mm})),
		b.Set(ctx, command.JigDeed(qc.Jig{ID: "J1", FaceRadius: 1300 * mm, Blocks: 9})),
		b.Set(ctx, command.TargetDeed(target)),
		b.Set(ctx, command.BatchSetup{ID: "reed-shelter", Title: "Reed pond shelter", Planned: 24, Target: target.ID, Revision: 1,
			Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}.Deed()),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	return b
}

func sendCommand(t *testing.T, b *session.Bench, c command.Order) command.Ack {
	t.Helper()
	a, err := b.Do(context.Background(), c)
	if err != nil {
		t.Fatalf("%+v: %v", c, err)
	}
	return a
}

// nominal is the wanted value of the next characteristic as a person would read it off, with its unit.
func nominal(t *testing.T, b *session.Bench) string {
	t.Helper()
	n := b.View().Current.Next
	if n == nil {
		t.Fatal("nothing is next")
	}
	return n.Want
}
