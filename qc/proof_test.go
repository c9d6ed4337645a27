package qc

import (
	"math"
	"strings"
	"testing"

	"springline/qc/length"
)

func TestProofSaysWhatIsMostAndWhatWouldShrinkIt(t *testing.T) {
	tip := Characteristic{ID: Tip, Kind: TipToTip, Nominal: 1900 * mmL, Lower: -6 * mmL, Upper: 6 * mmL, Repeats: 2}
	class2 := Gauge{ID: "t", Kind: Tape, Class: "II", EndFace: true, Resolution: mmL}
	for _, tc := range []struct {
		what   string
		change func(*Characteristic, *Gauge)
		want   string
	}{
		// 0.9/sqrt 3 = 0.5196 and 1/sqrt 12 = 0.2887, temperature 1900 * 11.5e-6 * 5/sqrt 3 * sqrt 2 = 0.0892:
		// u = 0.601; class I from a scribed zero 0.3/sqrt 3 = 0.1732 leaves 0.348.
		{"limit", func(*Characteristic, *Gauge) {}, "Most of the doubt (75 %) is allowed error of the gauge: " +
			"a class I tape read from a scribed zero leaves u = 0.35 mm instead of 0.60 mm."},
		{"band", func(c *Characteristic, g *Gauge) { c.Band = 4 * mmL }, "half the friction"},
		{"repeat", func(c *Characteristic, g *Gauge) { g.RepeatSD, g.RepeatDOF = 3*mmL, 9 }, "the mean of 4 readings"},
		{"resolution", func(c *Characteristic, g *Gauge) { g.Resolution = 5 * mmL }, "reading to 2.5 mm"},
		{"caliper", func(c *Characteristic, g *Gauge) { g.Kind, g.Limit = Caliper, 4*mmL }, "only a gauge with a smaller allowed error"},
	} {
		c, g := tip, class2
		tc.change(&c, &g)
		p, err := NewProof(c, g, DefaultDecision, nil)
		if err != nil {
			t.Fatal(err)
		}
		if s := p.Sentence(); !strings.Contains(s, tc.want) {
			t.Errorf("%s: %q, want %q", tc.what, s, tc.want)
		}
	}
}

func TestProofStatesGuardCoverageAndTheOneSidedPart(t *testing.T) {
	tip := Characteristic{ID: Tip, Kind: TipToTip, Nominal: 2000 * mmL, Lower: -6 * mmL, Upper: 6 * mmL, Repeats: 2}
	g := Gauge{ID: "t", Kind: Tape, Class: "II", Resolution: mmL, RepeatSD: 800 * length.Micrometre, RepeatDOF: 9}
	p, err := NewProof(tip, g, DefaultDecision, nil)
	if err != nil {
		t.Fatal(err)
	}
	if want := 1.6448536269514722 * p.Budget.Combined(); math.Abs(float64(p.Guard)-want) > 1 {
		t.Errorf("guard %s mm, want %v nm", p.Guard, want)
	}
	if s := p.CoverageText(); !strings.Contains(s, "U = 2.05 u = 1.5") ||
		!strings.Contains(s, "Student's t on 28 ") && !strings.Contains(s, "Student's t on 29 ") {
		t.Error(s)
	}
	if s := p.Zone(); !strings.Contains(s, "a deviation from −4.7") || !strings.Contains(s, " to +4.7") {
		t.Error(s)
	}
	if s := p.CosineText(); !strings.Contains(s, "laid 20 mm off the straight line the gauge reads 0.10 mm too long, never too short") {
		t.Error(s)
	}
	without, _ := NewProof(tip, Gauge{ID: "t", Kind: Tape, Class: "II", Resolution: mmL,
		RepeatSD: 800 * length.Micrometre, RepeatDOF: 9}, DefaultDecision, nil)
	if without.Budget.Combined() != p.Budget.Combined() {
		t.Error("the one-sided part was added in")
	}
	if len(p.Help()) != 0 {
		t.Errorf("a guard of a fifth of the tolerance needs no help: %v", p.Help())
	}
	tip.Lower, tip.Upper = -2*mmL, 2*mmL
	if p, _ = NewProof(tip, g, DefaultDecision, nil); len(p.Help()) == 0 {
		t.Error("a guard of more than half the tolerance gets no help")
	}
	how := DefaultDecision
	how.Rule = Plain
	if p, _ = NewProof(tip, g, how, nil); p.Guard != 0 || !strings.Contains(p.Zone(), "Plain rule") {
		t.Errorf("plain rule: guard %s, %q", p.Guard, p.Zone())
	}
}
