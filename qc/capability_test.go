package qc

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"springline/qc/length"
)

// read makes ribs whose tips were read twice: the true deviation and the spread of a reading are normal.
func read(t Target, rng *rand.Rand, n int, mean, rib, repeat float64, readings int) []Bent {
	var list []Bent
	nm := func(mm float64) float64 { return mm * float64(length.Millimetre) }
	for i := range n {
		b := Bent{ID: fmt.Sprint(i + 1), Order: i + 1, Jig: "J1", Lot: "L1", Dev: make([]FirstDeviation, len(t.Round))}
		true1, sum := mean+rib*rng.NormFloat64(), 0.0
		values := make([]float64, readings)
		for k := range values {
			values[k] = nm(true1 + repeat*rng.NormFloat64())
			sum += values[k] / float64(readings)
		}
		f := FirstDeviation{Dev: length.Length(sum), Step: 100, Readings: readings, U: length.Length(nm(repeat)), OK: true}
		for _, v := range values {
			f.Spread += (v - sum) * (v - sum)
		}
		b.Dev[t.place(Tip)] = f
		list = append(list, b)
	}
	return list
}

// sd^2 = rib^2 + gauge^2: of ribs of sd 2 mm read twice with 1 mm, 0.71 mm belongs to the mean of two readings.
// 400 ribs know a standard deviation to 3.5 %.
func TestGaugeSpreadIsTakenOut(t *testing.T) {
	c := NewCapability(mustArch(t), read(mustArch(t), rand.New(rand.NewPCG(1, 9)), 400, 0.5, 2, 1, 2), Tip, DefaultDecision)
	if math.Abs(c.Gauge-math.Sqrt(0.5)) > 0.08 || math.Abs(c.RibSD-2) > 0.21 || c.GaugeDOF != 400 || c.GaugeIsAll {
		t.Errorf("gauge %.3f on %d, ribs %.3f; want 0.707 on 400 and 2", c.Gauge, c.GaugeDOF, c.RibSD)
	}
	if math.Abs(c.SD*c.SD-c.Gauge*c.Gauge-c.RibSD*c.RibSD) > 1e-9 {
		t.Error("the parts do not add up to what was seen")
	}
	all := NewCapability(mustArch(t), read(mustArch(t), rand.New(rand.NewPCG(1, 9)), 30, 0, 0.000001, 1, 2), Tip, DefaultDecision)
	said := lineOf(all, "of it from the ribs")
	if all.GaugeIsAll && (all.RibSD != 0 || all.Risk != nil || !strings.Contains(said, "explains all") ||
		!strings.Contains(all.RiskSentence(), "not stated")) {
		t.Errorf("where the gauge is all: %q, %q", said, all.RiskSentence())
	}
	one := NewCapability(mustArch(t), read(mustArch(t), rand.New(rand.NewPCG(1, 9)), 30, 0, 1, 1, 1), Tip, DefaultDecision)
	if one.GaugeFrom != "" || one.RibSD != one.SD || !strings.Contains(lineOf(one, "of it from the gauge"), "not known") {
		t.Errorf("single readings without a study tell the gauge's spread: %q", one.GaugeFrom)
	}
}

func lineOf(c Capability, name string) string {
	for _, l := range c.Lines() {
		if l.Name == name {
			return l.Value
		}
	}
	return ""
}

// The risks against a simulation of a million ribs judged by the rule, which knows nothing of the integral.
func TestBatchRiskAgainstSimulation(t *testing.T) {
	target := mustArch(t)
	c := NewCapability(target, read(target, rand.New(rand.NewPCG(2, 2)), 60, 2, 4, 1.5, 2), Tip, DefaultDecision)
	if c.Risk == nil {
		t.Fatalf("no risk: %+v", c)
	}
	rng := rand.New(rand.NewPCG(4, 4))
	lower, upper := c.Char.Lower.MM(), c.Char.Upper.MM()
	const n = 1_000_000
	wrong, lost := 0, 0
	for range n {
		x := c.Mean + c.RibSD*rng.NormFloat64()
		y := x + c.U*rng.NormFloat64()
		good, accepted := x >= lower && x <= upper, y >= lower+c.Guard && y <= upper-c.Guard
		if accepted && !good {
			wrong++
		}
		if good && !accepted {
			lost++
		}
	}
	for _, r := range []struct {
		what string
		got  float64
		seen int
	}{{"false accept", c.Risk.FalseAccept, wrong}, {"false reject", c.Risk.FalseReject, lost}} {
		p := float64(r.seen) / n
		if math.Abs(r.got-p) > 5*math.Sqrt(p*(1-p)/n)+1e-6 {
			t.Errorf("%s is %.6f, simulated %.6f", r.what, r.got, p)
		}
	}
	if !strings.Contains(c.RiskSentence(), "consumer's risk") || !strings.Contains(c.RiskSentence(), "producer's risk") {
		t.Error(c.RiskSentence())
	}
}

func TestNothingIsShownBelowTheCount(t *testing.T) {
	target := mustArch(t)
	all := read(target, rand.New(rand.NewPCG(3, 1)), 12, 0, 1, .3, 2)
	for n := 0; n <= 12; n++ {
		c := NewCapability(target, all[:n], Tip, DefaultDecision)
		if (c.Normality != nil) != (n >= 8) || (c.Index != nil) != (n >= 10) || (c.Covered > 0) != (n >= 10) || (len(c.Lines()) > 0) != (n >= 2) {
			t.Errorf("%d ribs: %+v", n, c)
		}
		if s := c.Sentence(); strings.Contains(s, "Cpk") == (n < 10) {
			t.Errorf("%d ribs: %q", n, s)
		}
	}
	c := NewCapability(target, all[:9], Tip, DefaultDecision)
	if c.Sentence() != "Tip-to-tip: nothing is said of the spread below 10 ribs; 9 so far." {
		t.Error(c.Sentence())
	}
}

// Two set-ups mixed are not normal: then only counts are given, and no index.
func TestMixedRibsGetNoIndex(t *testing.T) {
	target := mustArch(t)
	rng := rand.New(rand.NewPCG(3, 7))
	all := append(read(target, rng, 30, -8, .5, .1, 2), read(target, rng, 30, 8, .5, .1, 2)...)
	for i := 30; i < 60; i++ {
		all[i].Jig = "J2"
	}
	c := NewCapability(target, all, Tip, DefaultDecision)
	if c.Normal() || c.Index != nil || c.Risk != nil || c.Stretches != 2 || !strings.Contains(c.Sentence(), "not normal") {
		t.Errorf("%+v: %s", c, c.Sentence())
	}
	// Wilks: 60 values hold 92.3 % between the ends with 95 %; 93 are the least for 95 %.
	if math.Abs(c.Covered-0.9234) > 0.0005 {
		t.Errorf("covered %v", c.Covered)
	}
}

func TestRibsThatReadTheSame(t *testing.T) {
	target := mustArch(t)
	all := read(target, rand.New(rand.NewPCG(3, 7)), 20, 1, 0, 0, 2)
	c := NewCapability(target, all, Tip, DefaultDecision)
	if c.Index != nil || !strings.Contains(c.Sentence(), "read the same") || len(c.Lines()) == 0 {
		t.Errorf("%+v: %s", c, c.Sentence())
	}
}

// Everything said of a batch of 10,000 ribs, tips and crown: drift, capability and risks. The aim is 200 ms.
func BenchmarkStatisticsOf10000Ribs(b *testing.B) {
	target := mustArch(b)
	rng := rand.New(rand.NewPCG(10, 10))
	tip, crown := quiet(rng, 10_000, 2), quiet(rng, 10_000, 2)
	all := series(target, tip, crown)
	for i := range all {
		for k := range all[i].Dev {
			all[i].Dev[k].U = typicalU
		}
	}
	for b.Loop() {
		if _, ok := FindDrift(target, all); ok {
			b.Log("a finding")
		}
		for _, id := range watched {
			if c := NewCapability(target, all, id, DefaultDecision); c.N != 10_000 {
				b.Fatal(c.N)
			}
		}
	}
}

const typicalU = 300 * length.Micrometre
