package session

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

// drawUpdate makes anything that a connection may deliver: values in and out of place, of any unit and
// flag, from a gauge that is bound, not bound or unknown, and bytes that gave no value.
func drawUpdate(t *rapid.T, at time.Time) device.Update {
	gauge := rapid.SampledFrom([]string{"tape", "caliper", "stranger"}).Draw(t, "gauge")
	if rapid.IntRange(0, 9).Draw(t, "fault") == 0 {
		return device.Update{Gauge: gauge, State: device.StateReading, Reading: &device.Reading{Gauge: gauge, Wall: at,
			Event: wire.Event{Err: &wire.FrameError{Code: wire.CodeLineNoise, Fault: words.FrameFault{Fault: "noise-text"}}}}}
	}
	near := rapid.SampledFrom([]float64{3553.6, 2061.4, 0, 139.9, 11.66, 3.5536, 355.36}).Draw(t, "near")
	off := rapid.SampledFrom([]float64{0, 0.25, -1.5, 8, -150, 900}).Draw(t, "off")
	s := wire.Sample{Value: fmt.Sprintf("%.2f", near+off), Accept: wire.Auto,
		Unit: rapid.SampledFrom([]string{"mm", "mm", "mm", "mm", "in", ""}).Draw(t, "unit")}
	if rapid.IntRange(0, 3).Draw(t, "flagged") == 0 {
		f := rapid.SampledFrom([]string{wire.FlagHold, wire.FlagDuplicate, wire.FlagUnitChanged, wire.FlagStale, wire.FlagRest,
			wire.FlagLowBattery, device.FlagWhichGauge, device.FlagIdentify, "a_word_of_its_own"}).Draw(t, "flag")
		s.Flags = []string{f}
		if f != wire.FlagLowBattery {
			s.Accept = rapid.SampledFrom([]wire.Accept{wire.Confirm, wire.Never}).Draw(t, "accept")
		}
	}
	if rapid.IntRange(0, 19).Draw(t, "bad") == 0 {
		s.Value = rapid.SampledFrom([]string{"", "1e5", "999999999999999999", "12.3.4", "--1"}).Draw(t, "text")
	}
	u := update(gauge, s, at)
	if rapid.IntRange(0, 9).Draw(t, "unsure") == 0 {
		u.Unsure = words.WhichGauge{Why: "exchanged", Gauge: gauge}
	}
	return u
}

// Whatever a gauge sends leads to exactly one record: measured, held with a question, or refused with a
// reason. Only a value about which nothing is in doubt counts by itself, and each that counts can be found
// again with what was sent. (Refusals have a bound of their own, which the pauses here do not reach.)
func TestEveryReadingIsMeasuredHeldOrRefused(t *testing.T) {
	seen := map[log.Kind]int{}
	dir, target := t.TempDir(), testTarget(t, 1)
	n := 0
	rapid.Check(t, func(t *rapid.T) {
		clk := newClock()
		n++
		b, err := Open(context.Background(), testConfig(fmt.Sprintf("%s/%d", dir, n), clk))
		if err != nil {
			t.Fatal(err)
		}
		defer b.Close()
		for _, err := range setUpAll(b, target) {
			if err != nil {
				t.Fatal(err)
			}
		}
		if _, err := b.Do(context.Background(), command.Order{Deed: command.Start{}}); err != nil {
			t.Fatal(err)
		}
		at := clk.now()
		for range rapid.IntRange(5, 40).Draw(t, "steps") {
			at = at.Add(rapid.SampledFrom([]time.Duration{50 * time.Millisecond, time.Second, time.Minute}).Draw(t, "pause"))
			if rapid.IntRange(0, 5).Draw(t, "press") == 0 {
				// A person at work in between; what is not possible now is refused and changes nothing.
				c := rapid.SampledFrom([]command.Order{{Deed: command.Start{}}, {Deed: command.Undo{}}, {Deed: command.Type{Text: "3553.5"}},
					{Deed: command.Skip{Char: "tip", Reason: "no room"}}}).Draw(t, "command")
				_, _ = b.Do(context.Background(), c)
				if h := b.View().Held; len(h) > 0 {
					_, _ = b.Do(context.Background(), command.Order{Deed: rapid.SampledFrom(
						[]command.Deed{command.Take{Seq: h[0].Seq, Reason: "looked"}, command.Discard{Seq: h[0].Seq, Reason: "looked"}}).Draw(t, "answer")})
				}
			}
			before := b.View()
			u := drawUpdate(t, at)
			if next := nextOf(before); next != nil && rapid.IntRange(0, 1).Draw(t, "in place") == 0 {
				want := map[string]float64{"tip": 3553.6, "crown": 2061.4}[next.Char]
				u = update(next.GaugeID, sample(fmt.Sprintf("%.2f", want+rapid.Float64Range(-5, 5).Draw(t, "dev"))), at)
			}
			o, err := b.Arrived(u)
			if err != nil {
				t.Fatal(err)
			}
			after := b.View()
			if o.Kind == "" && after.Seq == before.Seq && overBound(b, u.Gauge) {
				continue // counted, and told with the next one
			}
			if after.Seq != before.Seq+1 || o.Seq != after.Seq {
				t.Fatalf("%+v: %d records, outcome %+v", u.Reading.Event, after.Seq-before.Seq, o)
			}
			seen[o.Kind]++
			switch s := u.Reading.Event.Sample; o.Kind {
			case log.Measured:
				if s == nil || s.Accept != wire.Auto || u.Unsure.Why != "" || s.Unit == "in" || u.Gauge == "stranger" ||
					len(s.Flags) > 0 && !slices.Equal(s.Flags, []string{wire.FlagLowBattery}) {
					t.Fatalf("counts by itself: %+v", u)
				}
				batch, err := b.Batch("B1")
				if err != nil {
					t.Fatal(err)
				}
				m := measuredAt(batch, o.Seq)
				if m == nil || m.Text != s.Value || m.Gauge != u.Gauge || m.Entry != qc.Sent {
					t.Fatalf("sent %+v, on record %+v", s, m)
				}
			case log.Held:
				if len(after.Held) != len(before.Held)+1 {
					t.Fatalf("%d wait, before %d", len(after.Held), len(before.Held))
				}
				if h := after.Held[slices.IndexFunc(after.Held, func(h show.HeldView) bool { return h.Seq == o.Seq })]; h.Reason == "" || h.Ask == "" {
					t.Fatalf("held without a question: %+v", h)
				}
			case log.Refused:
				if len(after.Notices) == 0 || after.Notices[0] == "" {
					t.Fatal("refused without a word")
				}
			default:
				t.Fatalf("outcome %q of %+v", o.Kind, u)
			}
		}
	})
	t.Logf("outcomes: %v", seen)
	for _, k := range []log.Kind{log.Measured, log.Held, log.Refused} {
		if seen[k] == 0 {
			t.Errorf("nothing was %s: the test shows little", k)
		}
	}
}

func nextOf(v show.View) *show.NextView {
	if v.Current == nil {
		return nil
	}
	return v.Current.Next
}

// overBound reports whether refusals of the gauge are only counted at the moment.
func overBound(b *Bench, gauge string) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	c := b.refusal[gauge]
	return c != nil && c.skipped > 0
}

func measuredAt(b qc.Batch, seq int64) *qc.Measurement {
	for _, r := range b.Ribs {
		for i := range r.Measurements {
			if r.Measurements[i].Seq == seq {
				return &r.Measurements[i]
			}
		}
	}
	return nil
}
