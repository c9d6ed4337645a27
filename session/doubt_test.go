package session

import (
	"strings"
	"testing"
	"time"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/command"
	"springline/session/doubt"
	"springline/session/log"
)

// sentValue is a value sent some time after the one before.
type sentValue struct {
	gauge, value, unit string
	after              time.Duration
	accept             wire.Accept
	flags              []string
	unsure             string
	inFrame            bool
}

// TestBlunders sends values to a rib whose tip-to-tip is measured and expects the last one to be held, with
// the words given, or to count. The target: tip-to-tip 3553.6, crown 2061.4 mm, stations 0.
func TestBlunders(t *testing.T) {
	const far = 10 * time.Second
	cases := []struct {
		name    string
		sent    []sentValue
		held    string // part of the reason; empty where the value counts
		suggest length.Length
	}{
		{"a value in place", []sentValue{{gauge: "tape", value: "2060.5", after: far}}, "", 0},
		{"another gauge than the next needs", []sentValue{{gauge: "caliper", value: "0.25", after: far}}, "not bound to it", 0},
		{"inches read as millimetres", []sentValue{{gauge: "tape", value: "81.2", after: far}}, "25.4 times", 2062_480_000},
		{"feet read as millimetres", []sentValue{{gauge: "tape", value: "6.76", after: far}}, "304.8 times", 2060_448_000},
		{"metres read as millimetres", []sentValue{{gauge: "tape", value: "2.061", after: far}}, "1000 times", 2061 * mm},
		{"centimetres read as millimetres", []sentValue{{gauge: "tape", value: "206.1", after: far}}, "10 times", 2061 * mm},
		{"a digit too many", []sentValue{{gauge: "tape", value: "20614", after: far}}, "10 times", 20614 * mm / 10},
		{"far off", []sentValue{{gauge: "tape", value: "1650.0", after: far}}, "is far from", 0},
		{"below zero", []sentValue{{gauge: "tape", value: "-2061", after: far}}, "cannot be", 0},
		{"zero", []sentValue{{gauge: "tape", value: "0.0", after: far}}, "cannot be", 0},
		{"just inside the zone", []sentValue{{gauge: "tape", value: "2261.4", after: far}}, "", 0},
		{"just outside the zone", []sentValue{{gauge: "tape", value: "2261.5", after: far}}, "is far from", 0},
		{"tip-to-tip sent for the crown", []sentValue{{gauge: "tape", value: "3553.5", after: far}}, "is far from", 0},
		{"another unit than the gauge's", []sentValue{{gauge: "tape", value: "81.1575", unit: "in", after: far}}, "sent in in", 0},
		{"on hold", []sentValue{{gauge: "tape", value: "2060", after: far, accept: wire.Never, flags: []string{wire.FlagHold}}}, "on hold", 0},
		{"not vouched for", []sentValue{{gauge: "tape", value: "2060", after: far, accept: wire.Confirm}}, "does not vouch", 0},
		{"low battery counts", []sentValue{{gauge: "tape", value: "2060", after: far, accept: wire.Auto, flags: []string{wire.FlagLowBattery}}},
			"", 0},
		{"gauge not certain", []sentValue{{gauge: "tape", value: "2060", after: far, unsure: "two are alike"}}, "two are alike", 0},
		{"a bounce", []sentValue{{gauge: "tape", value: "2061.4", after: far}, {gauge: "caliper", value: "0.25", after: far},
			{gauge: "caliper", value: "0.25", after: 100 * time.Millisecond}}, "came twice", 0},
		{"a bounce when another gauge is next", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "tape", value: "2061.4", after: 40 * time.Millisecond, accept: wire.Confirm, flags: []string{wire.FlagDuplicate}}},
			"came twice", 0},
		{"the value before, too soon for another place", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "0.25", after: far}, {gauge: "caliper", value: "0.25", after: time.Second}}, "came again", 0},
		{"the same value at another place, later", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "0.25", after: far}, {gauge: "caliper", value: "0.25", after: 3 * time.Second}}, "", 0},
		{"another value at once", []sentValue{{gauge: "tape", value: "2061.4", after: far}, {gauge: "caliper", value: "0.25", after: far},
			{gauge: "caliper", value: "0.26", after: 50 * time.Millisecond}}, "", 0},
		{"inches at a station, where nothing else tells", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "0.0197", after: far}}, "finer than", 500_380},
		{"the same with its unit in the frame", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "0.0197", after: far, inFrame: true}}, "", 0},
		{"a step of the gauge sent with a place more", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "-1.250", after: far}}, "", 0},
		{"a step of the gauge rounded to the places sent", []sentValue{{gauge: "tape", value: "2061.4", after: far},
			{gauge: "caliper", value: "1.3", after: far}}, "", 0},
		{"a round that is complete", []sentValue{{gauge: "tape", value: "2061.4", after: far}, {gauge: "caliper", value: "0.25", after: far},
			{gauge: "caliper", value: "0.5", after: far}, {gauge: "tape", value: "2061.5", after: far}}, "is complete", 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			clk := newClock()
			b := openTest(t, t.TempDir(), clk)
			setUp(t, b, 1)
			do(t, b, command.Order{Deed: command.Start{}})
			do(t, b, command.Order{Deed: command.Type{Text: "3553.5"}})
			do(t, b, command.Order{Deed: command.Type{Text: "3553.9"}})
			before := b.View()
			at := clk.now()
			var out Outcome
			for _, s := range c.sent {
				at = at.Add(s.after)
				if s.unit == "" {
					s.unit = "mm"
				}
				if s.accept == "" {
					s.accept = wire.Auto
				}
				u := update(s.gauge, wire.Sample{Value: s.value, Unit: s.unit, Accept: s.accept, Flags: s.flags, InFrame: s.inFrame}, at)
				u.Unsure.Why = s.unsure
				var err error
				if out, err = b.Arrived(u); err != nil {
					t.Fatal(err)
				}
			}
			v := b.View()
			if v.Seq != before.Seq+int64(len(c.sent)) {
				t.Fatalf("%d values sent, %d records", len(c.sent), v.Seq-before.Seq)
			}
			if c.held == "" {
				if out.Kind != log.Measured || len(v.Held) > 0 {
					t.Fatalf("%s: %+v", out.Kind, v.Held)
				}
				return
			}
			if out.Kind != log.Held || len(v.Held) != 1 {
				t.Fatalf("%s with %d held: %+v", out.Kind, len(v.Held), v.Last)
			}
			h := v.Held[0]
			if !strings.Contains(h.Reason, c.held) || h.Ask == "" {
				t.Errorf("reason %q, ask %q", h.Reason, h.Ask)
			}
			if got := b.state.Batch.Held[len(b.state.Batch.Held)-1].Suggest; length.Length(got) != c.suggest {
				t.Errorf("suggests %d nm, want %d", got, c.suggest)
			}
		})
	}
}

// TestImpossiblePair uses plane geometry: a bar of 6000 mm from tip to crown to tip is at least as long as
// the two straight lines, and a convex curve inside a box is no longer than three sides of it (Archimedes,
// On the Sphere and Cylinder I, postulates 1 and 2).
func TestImpossiblePair(t *testing.T) {
	target := testTarget(t, 0)
	for _, c := range []struct {
		tip, crown length.Length
		impossible bool
	}{
		{3553_600_000, 2061_400_000, false},
		{3553_600_000, 2400 * mm, false},
		{3553_600_000, 2500 * mm, true},
		{3553_600_000, 1300 * mm, false},
		{3553_600_000, 1100 * mm, true}, // less than 6000 mm across and up
		{5000 * mm, 2061 * mm, true},
	} {
		r := &book.Rib{Rib: qc.Rib{ID: "01", Round: 1}}
		tip, _ := target.Characteristic(qc.Tip)
		crown, _ := target.Characteristic(qc.Crown)
		for i := range tip.Repeats {
			r.Measurements = append(r.Measurements, qc.Measurement{Seq: int64(i + 1), Char: qc.Tip, Round: 1, Value: c.tip})
		}
		if q, got := doubt.ImpossiblePair(target, r, crown, c.crown); got != c.impossible {
			t.Errorf("tip %s crown %s: %v %s", c.tip, c.crown, got, q.Why)
		}
	}
}

func TestNoRibNoBatchNoGauge(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	if o := send(t, b, "tape", "3553.6", clk.now()); o.Kind != log.Refused {
		t.Errorf("unknown gauge: %s", o.Kind)
	}
	setUp(t, b, 1)
	if o := send(t, b, "tape", "3553.6", clk.now()); o.Kind != log.Held {
		t.Errorf("no rib: %s", o.Kind)
	}
	if v := b.View(); len(v.Held) != 1 || v.Held[0].Reason != "no rib is on the bench" {
		t.Errorf("held %+v", v.Held)
	}
	do(t, b, command.Order{Deed: command.Start{}})
	a := do(t, b, command.Order{Deed: command.Take{Seq: b.View().Held[0].Seq}})
	if a.Kind != log.Measured || a.Rib != "01" || a.Char != "tip" || len(b.View().Held) != 0 {
		t.Errorf("taken %+v", a)
	}
	batch, err := b.Batch("B1")
	if err != nil || batch.Counts.Held != 1 || batch.Counts.Refused != 0 {
		t.Errorf("counts %+v %v", batch.Counts, err)
	}
}

// TestWrongGaugeIsOfferedItsPlace holds a station value while tip-to-tip is next; taken, it goes to the
// station.
func TestWrongGaugeIsOfferedItsPlace(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	send(t, b, "caliper", "1.25", clk.now())
	h := b.View().Held[0]
	if h.Char != "A1" || h.Label != "station A1" {
		t.Fatalf("offered for %q", h.Char)
	}
	if a := do(t, b, command.Order{Deed: command.Take{Seq: h.Seq}}); a.Char != "A1" {
		t.Errorf("taken for %q", a.Char)
	}
	send(t, b, "caliper", "1.00", clk.now())
	h = b.View().Held[0]
	_, err := b.Do(t.Context(), command.Order{Deed: command.Take{Seq: h.Seq, Char: "tip"}})
	wantCode(t, err, words.CodeBadValue)
}

func TestSuggestionIsTakenOnlyWhenAsked(t *testing.T) {
	for _, suggested := range []bool{false, true} {
		clk := newClock()
		b := openTest(t, t.TempDir(), clk)
		setUp(t, b, 1)
		do(t, b, command.Order{Deed: command.Start{}})
		send(t, b, "tape", "139.9", clk.now()) // inches
		h := b.View().Held[0]
		if h.Suggest == "" {
			t.Fatal("nothing suggested")
		}
		do(t, b, command.Order{Deed: command.Take{Seq: h.Seq, Suggested: suggested}})
		batch, _ := b.Batch("B1")
		m := batch.Ribs[0].Measurements[0]
		want := length.Length(139_900_000)
		if suggested {
			want = 3553_460_000
		}
		if m.Value != want || m.Text != "139.9" {
			t.Errorf("asked %v: %s mm of %q", suggested, m.Value, m.Text)
		}
	}
}

func TestRefusedFramesAreBounded(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	setUp(t, b, 1)
	fault := func(at time.Time) {
		if _, err := b.Arrived(device.Update{Gauge: "tape", Reading: &device.Reading{Wall: at,
			Event: wire.Event{Err: &wire.FrameError{Code: wire.CodeLineNoise, Fault: words.FrameFault{Fault: "noise-text"},
				Raw: []byte(strings.Repeat("\xff", 500))}}}}); err != nil {
			t.Fatal(err)
		}
	}
	start, before := clk.now(), b.View().Seq
	for i := range 1000 {
		fault(start.Add(time.Duration(i) * time.Millisecond))
	}
	if n := b.View().Seq - before; n != refusedAMinute {
		t.Errorf("%d records of 1000 faults within a second", n)
	}
	fault(start.Add(2 * time.Minute))
	v := b.View()
	if v.Seq-before != refusedAMinute+1 || !strings.Contains(v.Notices[0], "994 more") {
		t.Errorf("%d records; %q", v.Seq-before, v.Notices[0])
	}
	if list, err := b.Since(t.Context(), 1, before, 10); err != nil || strings.Contains(string(list[0].Body), strings.Repeat("ff", maxRaw+1)) {
		t.Errorf("raw bytes not bounded: %v", err)
	}
}

func TestHeldValuesAreBounded(t *testing.T) {
	clk := newClock()
	b := openTest(t, t.TempDir(), clk)
	setUp(t, b, 1)
	for i := range 100 {
		at := clk.now()
		send(t, b, "tape", "3"+string(rune('0'+i%10))+"00", at)
	}
	if n := len(b.View().Held); n != maxHeld {
		t.Errorf("%d values wait", n)
	}
}

func TestGaugeStates(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	before := b.View().Seq
	for st, word := range map[device.State]string{device.StateGone: "unplugged", device.StateBusy: "busy",
		device.StateNoPermission: "no permission",
		device.StateError:        "fault", device.StateReading: "reading", device.StateConnecting: "connecting", device.StateEnded: "ended"} {
		if _, err := b.Arrived(device.Update{Gauge: "caliper", State: st, Reason: "why"}); err != nil {
			t.Fatal(err)
		}
		v := b.View()
		if g := v.Gauges[1]; g.State != word || g.Detail != "why" || v.Seq != before {
			t.Errorf("%s: %+v", st, g)
		}
	}
	if g := b.View().Gauges[0]; g.State != "typed" {
		t.Errorf("a gauge without an address is %q", g.State)
	}
}

// A value of one rib that comes again within two seconds is not the next rib's by itself, though it is the same
// place; later it is.
func TestTheSameValueForTheNextRib(t *testing.T) {
	for after, want := range map[time.Duration]log.Kind{time.Second: log.Held, 3 * time.Second: log.Measured} {
		clk := newClock()
		b := openTest(t, t.TempDir(), clk)
		setUp(t, b, 1)
		do(t, b, command.Order{Deed: command.Start{}})
		at := clk.now()
		if out := send(t, b, "tape", "3553.5", at); out.Kind != log.Measured {
			t.Fatalf("the first value is %s", out.Kind)
		}
		do(t, b, command.Order{Deed: command.Start{}})
		if out := send(t, b, "tape", "3553.5", at.Add(after)); out.Kind != want {
			t.Errorf("the same for the next rib after %v is %s, want %s", after, out.Kind, want)
		}
	}
}
