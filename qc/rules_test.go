package qc

import (
	"math"
	"strings"
	"testing"

	"springline/qc/length"
	"springline/qc/words"
)

// Steel that grows by 11.5e-6 a kelvin (from memory, as EN 1993 has 12e-6 and EN 1992 10e-6): 3 m read on a bar at 30 °C
// with a tape at 20 °C is 3000/(1 + 115e-6) = 2999.65504 mm long at 20 °C (ISO 1); the other way about it is 3 m and
// 0.345 mm, and of equal temperatures nothing is left.
func TestTo20(t *testing.T) {
	tape, rule, caliper := Gauge{Kind: Tape}, Gauge{Kind: SteelRule}, Gauge{Kind: Caliper}
	for _, c := range []struct {
		name  string
		g     Gauge
		kind  Kind
		t     Temperatures
		value length.Length
		want  length.Length
	}{
		{"warm bar", tape, TipToTip, Temperatures{Seq: 1, Bar: 30, Tape: 20}, 3000 * mmL, -344_960},
		{"warm bar, crown", rule, CrownHeight, Temperatures{Seq: 1, Bar: 30, Tape: 20}, 3000 * mmL, -344_960},
		{"warm tape, leg", tape, LegLength, Temperatures{Seq: 1, Bar: 20, Tape: 30}, 3000 * mmL, 345_000},
		{"both warm", tape, TipToTip, Temperatures{Seq: 1, Bar: 30, Tape: 30}, 3000 * mmL, 0},
		{"not read", tape, TipToTip, Temperatures{Bar: 30, Tape: 20}, 3000 * mmL, 0},
		{"a station", tape, StationOffset, Temperatures{Seq: 1, Bar: 30, Tape: 20}, 3000 * mmL, 0},
		{"a caliper", caliper, TipToTip, Temperatures{Seq: 1, Bar: 30, Tape: 20}, 3000 * mmL, 0},
		{"below zero", tape, TipToTip, Temperatures{Seq: 1, Bar: 30, Tape: 20}, -3000 * mmL, 0},
	} {
		if got := c.t.To20(c.g, c.kind, c.value); got < c.want-20 || got > c.want+20 {
			t.Errorf("%s: %d nm, want %d", c.name, got, c.want)
		}
	}
}

// The limits are common practice, no source: each holds at its edge and no further.
func TestWhatNoBenchHas(t *testing.T) {
	pair := func(change func(*PairRule)) error { r := DefaultPairRule; change(&r); return r.Validate() }
	how := func(change func(*Decision)) error { d := DefaultDecision; change(&d); return d.Validate() }
	for _, c := range []struct {
		name string
		err  error
		ok   bool
	}{
		{"coldest and hottest, least doubt", Temperatures{Bar: -40, Tape: 80, Doubt: 0.1}.Validate(), true},
		{"the other way about, most doubt", Temperatures{Bar: 80, Tape: -40, Doubt: 20}.Validate(), true},
		{"bar too cold", Temperatures{Bar: -40.1, Tape: 20, Doubt: 1}.Validate(), false},
		{"bar too hot", Temperatures{Bar: 80.1, Tape: 20, Doubt: 1}.Validate(), false},
		{"tape too cold", Temperatures{Bar: 20, Tape: -40.1, Doubt: 1}.Validate(), false},
		{"tape too hot", Temperatures{Bar: 20, Tape: 80.1, Doubt: 1}.Validate(), false},
		{"too little doubt", Temperatures{Bar: 20, Tape: 20, Doubt: 0.09}.Validate(), false},
		{"too much doubt", Temperatures{Bar: 20, Tape: 20, Doubt: 20.1}.Validate(), false},
		{"no number", Temperatures{Bar: math.NaN(), Tape: 20, Doubt: 1}.Validate(), false},
		{"the default pairing", pair(func(*PairRule) {}), true},
		{"weights at their edges", pair(func(r *PairRule) { r.Tip, r.Crown, r.Station = 0, 0, 1000 }), true},
		{"weights of which one is the sum of the others", pair(func(r *PairRule) { r.Tip, r.Crown, r.Station = 1, 1, 2 }), true},
		{"two alike and none", pair(func(r *PairRule) { r.Tip, r.Crown, r.Station = 1, 0, 1 }), true},
		{"a weight too large", pair(func(r *PairRule) { r.Crown = 1001 }), false},
		{"a weight below zero", pair(func(r *PairRule) { r.Station = -1 }), false},
		{"no weight", pair(func(r *PairRule) { r.Tip, r.Crown, r.Station = 0, 0, 0 }), false},
		{"limits of a metre", pair(func(r *PairRule) { r.Limit, r.OtherLot = length.Metre, length.Metre }), true},
		{"a limit above", pair(func(r *PairRule) { r.Limit = length.Metre + 1 }), false},
		{"a limit below zero", pair(func(r *PairRule) { r.Limit = -1 }), false},
		{"a lot above", pair(func(r *PairRule) { r.OtherLot = length.Metre + 1 }), false},
		{"a lot below zero", pair(func(r *PairRule) { r.OtherLot = -1 }), false},
		{"no such metric", pair(func(r *PairRule) { r.Metric = "mean" }), false},
		{"no such objective", pair(func(r *PairRule) { r.Objective = "mean" }), false},
		{"the default decision", how(func(*Decision) {}), true},
		{"the plain one", how(func(d *Decision) { d.Rule = Plain }), true},
		{"no such rule", how(func(d *Decision) { d.Rule = "guess" }), false},
		{"even odds", how(func(d *Decision) { d.Confidence = 0.5 }), false},
		{"just above", how(func(d *Decision) { d.Confidence = 0.501 }), true},
		{"certainty", how(func(d *Decision) { d.Confidence = 1 }), false},
		{"no confidence", how(func(d *Decision) { d.Confidence = math.NaN() }), false},
		{"60 K", how(func(d *Decision) { d.Conditions.TemperatureHalfWidthK = 60 }), true},
		{"no doubt of the temperature", how(func(d *Decision) { d.Conditions.TemperatureHalfWidthK = 0 }), true},
		{"above 60 K", how(func(d *Decision) { d.Conditions.TemperatureHalfWidthK = 60.1 }), false},
		{"below 0 K", how(func(d *Decision) { d.Conditions.TemperatureHalfWidthK = -0.1 }), false},
	} {
		if (c.err == nil) != c.ok {
			t.Errorf("%s: %v", c.name, c.err)
		}
	}
}

// Behind one value stand the widest doubt and the temperatures furthest from 20 °C; one reading without any, and none count.
func TestTemperaturesBehindAValue(t *testing.T) {
	at := func(seq int64, bar, tape, doubt float64) Measurement {
		return Measurement{Temp: Temperatures{Seq: seq, Bar: bar, Tape: tape, Doubt: doubt}}
	}
	got := temperaturesOf([]Measurement{at(1, 21, 21, 2), at(2, 12, 14, 1), at(3, 27, 20, 3)})
	if got.Bar != 12 || got.Tape != 14 || got.Doubt != 3 {
		t.Errorf("12 and 14 °C, 10 K off together, with a doubt of 3 K: %+v", got)
	}
	if got = temperaturesOf([]Measurement{at(1, 21, 21, 3), at(0, 0, 0, 0)}); got.Read() {
		t.Errorf("one was taken without: %+v", got)
	}
}

// The verdict names what is out, by how much and on which side; of several the one most half-widths out.
func TestTheVerdictNamesWhatIsOut(t *testing.T) {
	judged := func(kind Kind, id CharID, half, dev length.Length) Judgement {
		c := Characteristic{ID: id, Kind: kind, Lower: -half, Upper: half}
		return Judgement{Char: c, Dev: Deviation{Dev: dev}, Lane: Decide(dev, c.Lower, c.Upper, 0),
			Conformity: float64(half-max(dev, -dev)) / float64(half)}
	}
	tip := func(dev length.Length) Judgement { return judged(TipToTip, Tip, 10*mmL, dev) }
	crown := func(dev length.Length) Judgement { return judged(CrownHeight, Crown, 5*mmL, dev) }
	leg := func(dev length.Length) Judgement { return judged(LegLength, LegA, 5*mmL, dev) }
	for _, c := range []struct {
		name      string
		js        []Judgement
		word      Word
		worst     CharID
		direction Direction
		says      string
	}{
		{"too wide", []Judgement{tip(12 * mmL), crown(0)}, ReBend, Tip, Close, "+12.0, 2.0 mm over its upper limit"},
		{"too narrow", []Judgement{tip(-13 * mmL), crown(0)}, ReBend, Tip, OpenUp, "13.0, 3.0 mm under its lower limit"},
		{"tips in, crown out", []Judgement{tip(0), crown(-6 * mmL)}, ReBend, Crown, Reshape, "1.0 mm under its lower limit"},
		{"crown out by more half-widths", []Judgement{tip(12 * mmL), crown(7 * mmL)}, ReBend, Crown, Close, "2.0 mm over its upper limit"},
		{"tips out by more", []Judgement{crown(6 * mmL), tip(13 * mmL)}, ReBend, Tip, Close, "3.0 mm over its upper limit"},
		{"what no bending mends goes first", []Judgement{tip(90 * mmL), leg(7 * mmL)}, Reject, LegA, "",
			"2.0 mm over its upper limit and cannot be bent in"},
		{"a leg that is in is no reason", []Judgement{tip(12 * mmL), leg(0)}, ReBend, Tip, Close, "2.0 mm over its upper limit"},
		{"all in", []Judgement{tip(1 * mmL), crown(2 * mmL)}, Pass, Crown, "", "all 2 characteristics are within their limits"},
	} {
		v := Verdict{Chars: c.js}
		decideWord(&v)
		if v.Word != c.word || v.Worst != c.worst || v.Direction != c.direction ||
			!strings.Contains(words.English.Say(v.Why), c.says) {
			t.Errorf("%s: %s of %s, %q: %s", c.name, v.Word, v.Worst, v.Direction, words.English.Say(v.Why))
		}
	}
}
