package qc

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"springline/qc/length"
	"springline/qc/words"
)

const mmL = length.Millimetre

func tape() Gauge {
	return Gauge{ID: "tape", Kind: Tape, Class: "II", Resolution: mmL, Unit: "mm", Measures: []Kind{TipToTip, CrownHeight}}
}

func depth() Gauge {
	return Gauge{ID: "depth", Kind: Caliper, Limit: 30 * length.Micrometre, Resolution: 10 * length.Micrometre,
		Unit: "mm", Measures: []Kind{StationOffset, BarDiameter}}
}

func gaugesOf(gs ...Gauge) GaugeOf {
	return func(id string) (Gauge, bool) {
		for _, g := range gs {
			if g.ID == id {
				return g, true
			}
		}
		return Gauge{}, false
	}
}

func archSpec() ArchSpec {
	return ArchSpec{
		ID: "arch", Revision: 1, Name: "arch", Bar: Bar{Diameter: 12 * mmL, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mmL, Arc: 4200 * mmL, Radius: 1337 * mmL, Face: Centre, StationsPerSide: 3,
		TolTip: 20 * mmL, TolCrown: 12 * mmL, TolStation: 8 * mmL, TipRepeats: 2, Band: 2 * mmL,
	}
}

func mustArch(t testing.TB) Target {
	t.Helper()
	a, err := NewArch(archSpec())
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Case bend-14 of testdata/checks/bending.jsonl: independent numerical integration gives tip-to-tip
// 2674.20824 mm and crown height 2236.84531 mm on the centreline.
func TestArchNominals(t *testing.T) {
	a := mustArch(t)
	tip, _ := a.Characteristic(Tip)
	crown, _ := a.Characteristic(Crown)
	if tip.Nominal.String() != "2674.2" || crown.Nominal.String() != "2236.8" {
		t.Errorf("tip %s, crown %s", tip.Nominal, crown.Nominal)
	}
	s := archSpec()
	s.Face = Outside // outside: 2686.20824 and 2242.84531 of the same case
	o, err := NewArch(s)
	if err != nil {
		t.Fatal(err)
	}
	tip, _ = o.Characteristic(Tip)
	crown, _ = o.Characteristic(Crown)
	if tip.Nominal.String() != "2686.2" || crown.Nominal.String() != "2242.8" {
		t.Errorf("outside: tip %s, crown %s", tip.Nominal, crown.Nominal)
	}
	if got := len(a.Round); got != 8 {
		t.Errorf("%d characteristics, want tip, crown and three stations a side", got)
	}
}

func rib(t *testing.T, a Target, devs map[CharID]length.Length) Rib {
	t.Helper()
	r := Rib{ID: "01", Round: 1}
	for _, c := range a.Round {
		d, ok := devs[c.ID]
		if !ok {
			continue
		}
		g := "depth"
		if c.Kind == TipToTip || c.Kind == CrownHeight {
			g = "tape"
		}
		for range c.Repeats {
			r.Measurements = append(r.Measurements, Measurement{
				Seq: int64(len(r.Measurements) + 1), Rib: r.ID, Char: c.ID, Round: 1, Value: c.Nominal + d, Gauge: g,
			})
		}
	}
	return r
}

func allIn(a Target) map[CharID]length.Length {
	m := map[CharID]length.Length{}
	for _, c := range a.Round {
		m[c.ID] = 0
	}
	return m
}

func TestVerdicts(t *testing.T) {
	a := mustArch(t)
	for _, tc := range []struct {
		name string
		set  map[CharID]length.Length
		drop CharID
		want Word
		dir  Direction
		at   CharID
	}{
		{name: "all on target", want: Pass},
		{name: "tips wide", set: map[CharID]length.Length{Tip: 35 * mmL}, want: ReBend, dir: Close, at: Tip},
		{name: "tips narrow", set: map[CharID]length.Length{Tip: -35 * mmL}, want: ReBend, dir: OpenUp, at: Tip},
		{name: "tip at the limit is not proven", set: map[CharID]length.Length{Tip: 20 * mmL}, want: ReMeasure, at: Tip},
		{name: "station out, tips in", set: map[CharID]length.Length{"A2": 11 * mmL}, want: ReBend, dir: Reshape, at: "A2"},
		{name: "out beats unsure", set: map[CharID]length.Length{Tip: 20 * mmL, "B1": -12 * mmL}, want: ReBend, dir: Reshape, at: "B1"},
		{name: "a missing station is never a pass", drop: "B3", want: Open},
	} {
		t.Run(tc.name, func(t *testing.T) {
			devs := allIn(a)
			for k, v := range tc.set {
				devs[k] = v
			}
			delete(devs, tc.drop)
			v, err := Judge(a, rib(t, a, devs), gaugesOf(tape(), depth()), DefaultDecision)
			if err != nil {
				t.Fatal(err)
			}
			if v.Word != tc.want || v.Direction != tc.dir {
				t.Fatalf("%s %q (%s), want %s %q", v.Word, v.Direction, words.English.Say(v.Why), tc.want, tc.dir)
			}
			if tc.at != "" && v.Worst != tc.at {
				t.Errorf("worst %s, want %s", v.Worst, tc.at)
			}
		})
	}
}

func TestLegOutIsRejected(t *testing.T) {
	a := mustArch(t)
	a.Round = append(a.Round, Characteristic{ID: LegA, Kind: LegLength, Face: Outside,
		Nominal: 900 * mmL, Lower: -10 * mmL, Upper: 10 * mmL, Repeats: 1})
	devs := allIn(a)
	devs[LegA] = -25 * mmL
	devs[Tip] = 60 * mmL
	v, err := Judge(a, rib(t, a, devs), gaugesOf(tape(), depth()), DefaultDecision)
	if err != nil || v.Word != Reject || v.Worst != LegA {
		t.Errorf("%v %s %s, want REJECT for leg-a", err, v.Word, v.Worst)
	}
}

func TestPlainRuleIsInclusiveAtTheLimit(t *testing.T) {
	a := mustArch(t)
	how := DefaultDecision
	how.Rule = Plain
	for _, tc := range []struct {
		dev  length.Length
		want Word
	}{{20 * mmL, Pass}, {20*mmL + 1, ReBend}, {-20 * mmL, Pass}, {-20*mmL - 1, ReBend}} {
		devs := allIn(a)
		devs[Tip] = tc.dev
		v, err := Judge(a, rib(t, a, devs), gaugesOf(tape(), depth()), how)
		if err != nil || v.Word != tc.want {
			t.Errorf("deviation %s: %v %s, want %s", tc.dev, err, v.Word, tc.want)
		}
	}
}

// A skipped, voided or replaced measurement leaves its characteristic open whatever the others say.
func TestIncompleteIsNeverPass(t *testing.T) {
	a := mustArch(t)
	rapid.Check(t, func(rt *rapid.T) {
		r := rib(t, a, allIn(a))
		i := rapid.IntRange(0, len(r.Measurements)-1).Draw(rt, "which")
		switch rapid.IntRange(0, 2).Draw(rt, "how") {
		case 0:
			r.Measurements[i].Voided = true
		case 1:
			r.Measurements[i].Replaced = true
		case 2:
			r.Skips = append(r.Skips, Skip{Seq: 1000, Char: r.Measurements[i].Char, Round: 1})
			r.Measurements[i].Voided = true
		}
		v, err := Judge(a, r, gaugesOf(tape(), depth()), DefaultDecision)
		if err != nil || v.Word != Open {
			rt.Fatalf("%v %s", err, v.Word)
		}
	})
}

func TestJudgeRefusesAnUnknownGauge(t *testing.T) {
	a := mustArch(t)
	if _, err := Judge(a, rib(t, a, allIn(a)), gaugesOf(tape()), DefaultDecision); err == nil || !strings.Contains(err.Error(), `"depth"`) {
		t.Errorf("got %v, want an error naming the gauge", err)
	}
}

// The widening of the verdict with uncertainty: PASS can only turn to RE-MEASURE, never to RE-BEND.
func TestMoreDoubtNeverProvesMore(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dev := length.Length(rapid.Int64Range(-40e6, 40e6).Draw(rt, "dev"))
		g1 := length.Length(rapid.Int64Range(0, 10e6).Draw(rt, "guard"))
		g2 := g1 + length.Length(rapid.Int64Range(0, 10e6).Draw(rt, "more"))
		a, b := Decide(dev, -20*mmL, 20*mmL, g1), Decide(dev, -20*mmL, 20*mmL, g2)
		if a != b && b != LaneUnsure {
			rt.Fatalf("dev %s: %s with guard %s, %s with %s", dev, a, g1, b, g2)
		}
	})
}

// Limits are inclusive to the nanometre, also where the guard has moved them; a limit that is not there is never met.
func TestLimitsAreInclusive(t *testing.T) {
	for _, c := range []struct {
		dev, guard length.Length
		want       Lane
	}{
		{20 * mmL, 0, LaneIn}, {20*mmL + 1, 0, LaneOut}, {-20 * mmL, 0, LaneIn}, {-20*mmL - 1, 0, LaneOut},
		{15 * mmL, 5 * mmL, LaneIn}, {15*mmL + 1, 5 * mmL, LaneUnsure}, {25 * mmL, 5 * mmL, LaneUnsure}, {25*mmL + 1, 5 * mmL, LaneOut},
		{-15 * mmL, 5 * mmL, LaneIn}, {-15*mmL - 1, 5 * mmL, LaneUnsure}, {-25 * mmL, 5 * mmL, LaneUnsure}, {-25*mmL - 1, 5 * mmL, LaneOut},
	} {
		if got := Decide(c.dev, -20*mmL, 20*mmL, c.guard); got != c.want {
			t.Errorf("%s mm with a guard of %s mm is %s, want %s", c.dev, c.guard, got, c.want)
		}
	}
	if got := Decide(1e12, 0, math.Inf(1), 2); got != LaneIn {
		t.Errorf("without an upper limit 1e12 is %s", got)
	}
}

// 1.65 u for 95 % one-sided (ISO 14253-1:2017), a chance of 2.5 % at 1.96 u and of 2.275 % at 2 u (table of
// ILAC-G8:09/2019); digits and Student's t from R 4.2: qnorm(.95), qnorm(.975), qnorm(.97725), qt(.95, 9), qt(.95, 1).
func TestGuard(t *testing.T) {
	for _, c := range []struct{ confidence, dof, want float64 }{
		{0.95, math.Inf(1), 1.644853626951473}, {0.975, math.Inf(1), 1.959963984540054}, {0.97724986805182, math.Inf(1), 2},
		{0.95, 9, 1.833112932656237}, {0.95, 1, 6.313751514675037},
	} {
		if f := Factor(c.confidence, c.dof); math.Abs(f-c.want) > 1e-9 {
			t.Errorf("factor for %v on %v degrees of freedom is %.12g, want %.12g", c.confidence, c.dof, f, c.want)
		}
	}
	if g := Guard(1e6, 0.95, math.Inf(1)); g != 1644854 {
		t.Errorf("guard %d nm for u = 1 mm, want 1.644854 mm rounded up", g)
	}
}

// Directive 2014/32/EU, Annex X, MI-008: a + b L + c from the end face, L rounded up to the metre; at 2 m 0.3,
// 0.7 and 1.4 mm, from the end face of a class II tape 0.9 mm.
func TestPermissibleError(t *testing.T) {
	for _, c := range []struct {
		class TapeClass
		at    length.Length
		end   bool
		want  string
	}{
		{"I", 2000 * mmL, false, "0.3"}, {"II", 2000 * mmL, false, "0.7"}, {"III", 2000 * mmL, false, "1.4"},
		{"I", 2000 * mmL, true, "0.4"}, {"II", 2000 * mmL, true, "0.9"}, {"III", 2000 * mmL, true, "1.7"},
		{"II", 2000*mmL + 1, false, "0.9"}, {"I", 1, false, "0.2"}, {"III", 10_000 * mmL, true, "4.9"}, {"II", -3000 * mmL, false, "0.9"},
	} {
		g := Gauge{Kind: Tape, Class: c.class, EndFace: c.end, Limit: 9 * mmL}
		if e := g.PermissibleError(c.at); e.String() != c.want {
			t.Errorf("class %s at %s mm, end face %v: %s, want %s", c.class, c.at, c.end, e, c.want)
		}
	}
	if e := (Gauge{Kind: SteelRule, Class: "II", Limit: 9 * mmL}).PermissibleError(mmL); e != 9*mmL {
		t.Errorf("a rule that is no classed tape may err by %s mm, want its own limit", e)
	}
}

func TestImpossibleTargets(t *testing.T) {
	for _, tc := range []struct {
		name, field string
		change      func(*ArchSpec)
	}{
		{"legs cross", "leg", func(s *ArchSpec) { s.Radius = 800 * mmL; s.Leg = 1500 * mmL }},
		{"radius below the minimum bend", "radius", func(s *ArchSpec) { s.Radius = 29 * mmL; s.Arc = 60 * mmL }},
		{"once round", "arc", func(s *ArchSpec) { s.Radius = 600 * mmL }},
		{"no tolerance", "tip", func(s *ArchSpec) { s.TolTip = 0 }},
		{"negative tolerance", "crown", func(s *ArchSpec) { s.TolCrown = -mmL }},
		{"no bar", "bar diameter", func(s *ArchSpec) { s.Bar.Diameter = 0 }},
		{"no face", "face", func(s *ArchSpec) { s.Face = "" }},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := archSpec()
			tc.change(&s)
			_, err := NewArch(s)
			var te *TargetError
			if !errors.As(err, &te) || te.Field != tc.field {
				t.Errorf("got %v, want a refusal of %q", err, tc.field)
			}
		})
	}
}

func TestToleranceFinerThanTheGaugeCanProve(t *testing.T) {
	s := archSpec()
	s.TolTip, s.Band = 1500*length.Micrometre, 2*mmL
	a, err := NewArch(s)
	if err != nil {
		t.Fatal(err)
	}
	var cp *CannotProveError
	if err := a.CheckProvable([]Gauge{tape(), depth()}, DefaultDecision); !errors.As(err, &cp) || cp.Char != Tip {
		t.Errorf("got %v, want a refusal for the tips", err)
	}
	var te *TargetError
	if err := a.CheckProvable([]Gauge{tape()}, DefaultDecision); !errors.As(err, &te) && !errors.As(err, &cp) {
		t.Errorf("got %v, want a refusal for lack of a gauge", err)
	}
	if err := mustArch(t).CheckProvable([]Gauge{tape(), depth()}, DefaultDecision); err != nil {
		t.Errorf("provable target refused: %v", err)
	}
}

func TestMeanIsExact(t *testing.T) {
	for _, tc := range []struct {
		in         []length.Length
		mean, half length.Length
	}{
		{[]length.Length{3}, 3, 0},
		{[]length.Length{1, 2}, 2, 1},
		{[]length.Length{-1, -2}, -2, 1},
		{[]length.Length{10, 20, 31}, 20, 11},
		{[]length.Length{-1, 1}, 0, 1},
	} {
		if m, h := mean(tc.in); m != tc.mean || h != tc.half {
			t.Errorf("mean(%v) = %d, %d; want %d, %d", tc.in, m, h, tc.mean, tc.half)
		}
	}
}
