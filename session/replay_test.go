package session

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/show"
)

// still is a view without what is not recorded: the gauges' connections.
func still(v show.View) show.View {
	v.Gauges = append([]show.GaugeView(nil), v.Gauges...)
	for i := range v.Gauges {
		v.Gauges[i].State, v.Gauges[i].Detail, v.Gauges[i].LastText = "", "", ""
		v.Gauges[i].Value, v.Gauges[i].Unit, v.Gauges[i].Received = "", "", 0
	}
	return v
}

// someCommand draws a command that often can be carried out.
func someCommand(t *rapid.T, b *Bench) command.Order {
	v := b.View()
	why := rapid.SampledFrom([]string{"", "slipped", "slipped"}).Draw(t, "reason")
	one := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	char := func() string { return one("char", "tip", "crown", "A1", "B1") }
	var held show.HeldView
	if len(v.Held) > 0 {
		held = rapid.SampledFrom(v.Held).Draw(t, "held")
	}
	var pairs, order string
	if v.Pairs != nil {
		if pairs = v.Pairs.Token; v.Pairs.Order != nil {
			order = v.Pairs.Order.Token
		}
	}
	two := func() (string, string) { return one("rib", "01", "02", "03"), one("with", "01", "02", "03") }
	c := command.Order{Sent: command.Sent{By: one("by", "", "Ines")}}
	switch rapid.IntRange(0, 31).Draw(t, "op") {
	case 0, 1:
		c.Deed = command.Start{}
	case 2:
		c.Deed = command.Choose{Rib: one("rib", "01", "02", "03", "99")}
	case 12, 13:
		c.Deed = command.Again{Char: char(), Reason: why}
	case 14:
		c.Deed = command.Undo{Reason: why}
	case 15, 16:
		c.Deed = command.Void{Seq: rapid.Int64Range(1, v.Seq).Draw(t, "seq"), Reason: why}
	case 17:
		c.Deed = command.Skip{Char: char(), Reason: why}
	case 18:
		c.Deed = command.Round{Reason: why}
	case 19, 20:
		c.Deed = command.Take{Seq: held.Seq, Suggested: held.Suggest != "" && rapid.Bool().Draw(t, "suggested"), Reason: why}
	case 21:
		c.Deed = command.Discard{Seq: held.Seq, Reason: why}
	case 22:
		c.Deed = command.Pull{Before: "3590", Loaded: "3400"}
	case 23:
		c.Deed = command.NextLot{Lot: one("lot", "L1", "L2", "none")}
	case 24:
		c.Deed = command.NextJig{Jig: "J1"}
	case 25:
		c.Deed = command.ConfirmPairs{Token: pairs}
	case 26:
		c.Deed = command.JigBuilt{Text: one("face", "1280", "1290.5 mm", "none")}
	case 27:
		c.Deed = command.ChangePairRule{Limit: one("limit", "", "2 mm", "none"), Metric: one("metric", "", "max", "rms")}
	case 28:
		rib, with := two()
		c.Deed = command.LockPair{Rib: rib, With: with}
	case 29:
		rib, with := two()
		c.Deed = rapid.SampledFrom([]command.Deed{command.ReleasePair{Rib: rib, With: with},
			command.ForbidPair{Rib: rib, With: with, Reason: why}, command.AllowPair{Rib: rib, With: with, Reason: why}}).Draw(t, "two")
	case 30:
		c.Deed = command.ConfirmOrder{Token: order}
	case 31:
		c.Deed = command.Note{Text: "windy"}
	default:
		d := command.Type{Text: someValue(t, v)}
		if rapid.Bool().Draw(t, "named") {
			d.Char = char()
		}
		c.Deed = d
	}
	if r, _ := c.Op().Row(); r.Of == command.OfRib && rapid.IntRange(0, 3).Draw(t, "versioned") == 0 && v.Current != nil {
		c.Version = v.Current.Version - rapid.Int64Range(0, 1).Draw(t, "behind")
	}
	return c
}

// someValue draws a value near what is wanted, rarely far off.
func someValue(t *rapid.T, v show.View) string {
	at := 0.0
	if v.Current != nil && v.Current.Next != nil {
		_, _ = fmt.Sscanf(strings.Replace(v.Current.Next.Want, "−", "-", 1), "%f", &at)
	}
	off := rapid.SampledFrom([]float64{0, 0, 0, 0.5, -0.5, 1, -2, 7, 30, 5000}).Draw(t, "off")
	l, err := length.FromMM(at + off)
	if err != nil {
		t.Fatal(err)
	}
	return l.Round(10*length.Micrometre, length.TieEven).String()
}

// someReading draws what a gauge may send.
func someReading(t *rapid.T, v show.View, at time.Time) device.Update {
	gauge := rapid.SampledFrom([]string{"tape", "caliper", "caliper", "stranger"}).Draw(t, "gauge")
	if rapid.IntRange(0, 9).Draw(t, "fault") == 0 {
		return device.Update{Gauge: gauge, Reading: &device.Reading{Gauge: gauge, Wall: at,
			Event: wire.Event{Err: &wire.FrameError{Code: wire.CodePartialFrame, Fault: words.FrameFault{Detail: "half a frame"},
				Raw: []byte("12.")}}}}
	}
	s := wire.Sample{Value: someValue(t, v), Unit: rapid.SampledFrom([]string{"mm", "mm", "mm", "", "in"}).Draw(t, "unit"), Accept: wire.Auto}
	if rapid.IntRange(0, 5).Draw(t, "flagged") == 0 {
		s.Accept, s.Flags = wire.Never, []string{wire.FlagHold}
	}
	return update(gauge, s, at)
}

// TestReplayEqualsLive measures at random and expects the bench opened again and a reader beside it to be
// identical to what was there live, and the rows for SQL to say the same.
func TestReplayEqualsLive(t *testing.T) {
	ctx := context.Background()
	rapid.Check(t, func(rt *rapid.T) {
		dir, c := t.TempDir(), newClock()
		b := openTest(t, dir, c)
		setUp(t, b, 1)
		do(t, b, command.Order{Deed: command.Start{}})
		for range rapid.IntRange(5, 60).Draw(rt, "steps") {
			before := b.View().Seq
			var err error
			if rapid.IntRange(0, 2).Draw(rt, "who") == 0 {
				_, err = b.Arrived(someReading(rt, b.View(), c.now()))
			} else {
				_, err = b.Do(ctx, someCommand(rt, b))
				var ce *words.Refusal
				if errors.As(err, &ce) {
					if err = nil; b.View().Seq != before {
						rt.Fatalf("refused, and yet something was recorded: %v", ce)
					}
				}
			}
			if err != nil {
				rt.Fatal(err)
			}
		}
		if rapid.IntRange(0, 4).Draw(rt, "closed") == 0 {
			for _, h := range b.View().Held {
				do(t, b, command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "closing"}})
			}
			if err := b.Set(ctx, command.CloseBatch{}); err != nil {
				rt.Fatal(err)
			}
		}
		view := b.View()
		batch, err := b.Batch("B1")
		if err != nil {
			rt.Fatal(err)
		}
		checkInvariants(rt, batch)
		r, err := OpenReadOnly(ctx, testConfig(dir, c))
		if err != nil {
			rt.Fatal(err)
		}
		compareBench(rt, "read beside it", r, view, batch)
		if err := errors.Join(r.Close(), b.Close()); err != nil {
			rt.Fatal(err)
		}
		again := openTest(t, dir, c)
		compareBench(rt, "opened again", again, view, batch)
		if _, err := again.Verify(ctx); err != nil {
			rt.Fatal(err)
		}
		if err := again.Close(); err != nil {
			rt.Fatal(err)
		}
		checkRows(rt, testConfig(dir, c), batch, view)
	})
}

func compareBench(t *rapid.T, how string, b *Bench, view show.View, batch qc.Batch) {
	if d := cmp.Diff(still(view), still(b.View())); d != "" {
		t.Fatalf("the view %s differs (-live +again):\n%s", how, d)
	}
	got, err := b.Batch(batch.ID)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(batch, got); d != "" {
		t.Fatalf("the batch %s differs (-live +again):\n%s", how, d)
	}
}

// checkInvariants holds for every batch that can be.
func checkInvariants(t *rapid.T, b qc.Batch) {
	counted, typed := 0, 0
	for _, r := range b.Ribs {
		v, err := b.Judge(r)
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range b.Target.Round {
			n := len(r.Counted(c.ID))
			if n > c.Repeats {
				t.Fatalf("rib %s counts %d readings of %s, %d are taken", r.ID, n, c.ID, c.Repeats)
			}
			if n < c.Repeats && v.Word != qc.Open {
				t.Fatalf("rib %s is %s with %s unmeasured", r.ID, v.Word, c.ID)
			}
		}
		for _, m := range r.Measurements {
			if m.Counts() {
				counted++
				if m.Entry == qc.Typed {
					typed++
				}
			}
		}
	}
	if b.Counts.Measured != counted || b.Counts.Typed != typed {
		t.Fatalf("counts %+v, counted %d typed %d", b.Counts, counted, typed)
	}
}
