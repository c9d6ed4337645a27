package qc

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"springline/qc/length"
)

// judgedBatch has a rib for each deviation of tip-to-tip, read with a rule to a millimetre; the rest of the round
// is on target.
func judgedBatch(t testing.TB, devs ...length.Length) Batch {
	t.Helper()
	target, err := NewArch(ArchSpec{ID: "A", Revision: 1, Bar: Bar{Diameter: 12 * length.Millimetre}, Leg: 900 * length.Millimetre,
		Arc: 4200 * length.Millimetre, Radius: 1337 * length.Millimetre, Face: Outside, TolTip: 10 * length.Millimetre,
		TolCrown: 10 * length.Millimetre, TipRepeats: 1, Band: length.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	b := Batch{ID: "B", Target: target, Decision: DefaultDecision, Gauges: []Gauge{{ID: "G", Kind: Caliper, Limit: 100 * length.Micrometre,
		Resolution: length.Millimetre, Measures: []Kind{TipToTip, CrownHeight}}}}
	for i, d := range devs {
		r := Rib{ID: string(rune('a' + i)), Order: i + 1, Round: 1}
		for k, c := range target.Round {
			v := c.Nominal
			if c.ID == Tip {
				v += d
			}
			r.Measurements = append(r.Measurements, Measurement{Seq: int64(k), Rib: r.ID, Char: c.ID, Round: 1, Value: v, Gauge: "G"})
		}
		b.Ribs = append(b.Ribs, r)
	}
	return b
}

// A batch judged once says of every rib what judging the rib alone says; what needs a hand comes first.
func TestJudgedOnceIsJudgedRibByRib(t *testing.T) {
	b := judgedBatch(t, 0, 30*length.Millimetre, length.Millimetre, 10*length.Millimetre)
	b.Ribs[2].Measurements = b.Ribs[2].Measurements[:1]
	j, err := b.Judged()
	if err != nil {
		t.Fatal(err)
	}
	var order, need []string
	for i, r := range j.InOrder {
		v, err := b.Judge(b.Ribs[i])
		if err != nil || r.ID != b.Ribs[i].ID || v.Word != r.Verdict.Word {
			t.Errorf("rib %s is %s, alone %s (%v)", r.ID, r.Verdict.Word, v.Word, err)
		}
		order = append(order, r.ID)
	}
	for _, r := range j.ByNeed {
		need = append(need, r.ID+" "+string(r.Verdict.Word))
	}
	if want := []string{"b RE-BEND", "d RE-MEASURE", "c OPEN", "a PASS"}; !slices.Equal(need, want) ||
		!slices.Equal(order, []string{"a", "b", "c", "d"}) {
		t.Errorf("by need %v, want %v; in order %v", need, want, order)
	}
	if r, ok := j.JudgedRib("d"); !ok || r.Verdict.Word != ReMeasure || len(j.With(Pass)) != 1 || len(j.Measured(Tip)) != 4 {
		t.Errorf("rib d is %v, %d passes, %d tips", r.Verdict.Word, len(j.With(Pass)), len(j.Measured(Tip)))
	}
	b.Gauges = nil
	if _, err := b.Judged(); err == nil {
		t.Error("a batch is judged without its gauges")
	}
}

// A deviation rounded to its step stands on the same side of a limit as the exact one, and the step is no finer
// than that takes.
func TestStepNeverContradictsALimit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		off := length.Length(rapid.SampledFrom([]int64{0, 1, -1, 4_000, -40_000, 499_999, 500_001, -1_400_000}).Draw(rt, "off"))
		b := judgedBatch(t, 10*length.Millimetre+off)
		j, err := b.Judged()
		if err != nil {
			rt.Fatal(err)
		}
		c, _ := b.Target.Characteristic(Tip)
		js := j.Measured(Tip)
		step := j.Step(Tip)
		if contradicts(c, js, step) {
			rt.Errorf("%s beyond the limit is shown to %s", off, step)
		}
		if coarser := 10 * step; coarser <= length.Millimetre/10 && !contradicts(c, js, coarser) {
			rt.Errorf("%s beyond the limit is shown to %s where %s would do", off, step, coarser)
		}
	})
}

// Steps reckoned by hand: a single reading earns the gauge's resolution, a mean no finer than a tenth of it.
func TestStepsByHand(t *testing.T) {
	const mm, um = length.Millimetre, length.Micrometre
	for _, c := range []struct{ got, want length.Length }{
		{ExactStep(0), mm}, {ExactStep(3 * mm), mm}, {ExactStep(-2500 * um), 100 * um}, {ExactStep(7 * um), um}, {ExactStep(1), 1},
		{ReadStep(mm, 1), mm}, {ReadStep(mm, 2), 100 * um}, {ReadStep(10*um, 1), 10 * um}, {ReadStep(10*um, 3), um},
		{ReadStep(500*um, 1), 100 * um},
	} {
		if c.got != c.want {
			t.Errorf("a step of %d nm, want %d", c.got, c.want)
		}
	}
	if z := DefaultDecision.GuardFactor(); z != "1.645" { // z of 95 % one-sided, any table of the normal distribution
		t.Errorf("the guard is %s u, want 1.645", z)
	}
}

// The tag ties the legs on one side: A to A, A to B where the right rib is turned, and the other side's where the pair is.
func TestTagOfAPairInTheRunOrder(t *testing.T) {
	p := PairOf{A: "a", B: "b", Flip: true}
	b := Batch{Pairs: []PairOf{p}}
	if got := b.TagLegs(p); got != "leg A, leg B" {
		t.Errorf("turned: %s", got)
	}
	b.Order = &RunOrder{Stands: []Stand{{A: "a", B: "b", Turned: true}}}
	if got := b.TagLegs(p); got != "leg B, leg A" {
		t.Errorf("turned as a whole: %s", got)
	}
}
