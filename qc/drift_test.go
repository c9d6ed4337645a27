package qc

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"springline/qc/length"
	"springline/qc/words"
)

// series makes ribs with the given deviations of tip and crown in mm, all off jig J1 out of lot L1.
func series(t Target, tip, crown []float64) []Bent {
	var list []Bent
	for i := range tip {
		b := Bent{ID: fmt.Sprint(i + 1), Order: i + 1, Jig: "J1", Lot: "L1", Dev: make([]FirstDeviation, len(t.Round))}
		for id, mm := range map[CharID]float64{Tip: tip[i], Crown: crown[i]} {
			b.Dev[t.place(id)] = FirstDeviation{Dev: length.Length(math.Round(2*mm)) * length.Millimetre / 2,
				Step: length.Millimetre / 2, Readings: 2, OK: true}
		}
		list = append(list, b)
	}
	return list
}

// quiet draws n deviations of a jig that holds still.
func quiet(rng *rand.Rand, n int, sd float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = 1 + sd*rng.NormFloat64()
	}
	return x
}

// A block that moved before rib 14 is told within three ribs, with the right rib and amount, and stays told.
func TestAMovedBlockIsTold(t *testing.T) {
	target := mustArch(t)
	rng := rand.New(rand.NewPCG(14, 1))
	late, wrongRib := 0, 0
	const runs = 200
	for range runs {
		tip, crown := quiet(rng, 24, 1.2), quiet(rng, 24, 1)
		for i := 13; i < 24; i++ {
			tip[i] += 9
		}
		first := 0
		for n := DriftFrom; n <= 24; n++ {
			f, ok := FindDrift(target, series(target, tip[:n], crown[:n]))
			if ok && f.Kind == Shifted && f.Char == Tip && first == 0 {
				first = n
			}
			if n == 24 {
				if !ok || f.Kind != Shifted || math.Abs(f.ByMM-9) > 2.2 ||
					!strings.HasPrefix(words.English.Say(f.Said), "The tips have opened by about ") ||
					!strings.HasSuffix(words.English.Say(f.Said), ": check that block 1 has not moved, then re-test the jig.") ||
					words.English.Say(f.Basis) != "24 ribs off jig J1, lot L1" {
					t.Fatalf("after 24 ribs: %+v", f)
				}
				if f.Rib != "14" {
					wrongRib++
				}
			}
		}
		if first == 0 || first > 16 {
			late++
		}
	}
	if late > runs/50 || wrongRib > runs/50 {
		t.Errorf("of %d moved blocks %d were told after rib 16 and %d with another rib than 14", runs, late, wrongRib)
	}
}

// The false alarm rate of the sentence on a jig that holds still, both series watched and independent: at most
// 0.6 in 100 ribs, whatever the length of the stretch and however coarse the tape. Sentences are counted by
// their beginning; seeds are fixed.
func TestDriftSentenceIsRarelyWrong(t *testing.T) {
	target := mustArch(t)
	for _, tc := range []struct {
		n  int
		sd float64
	}{{24, 1.2}, {24, 0.3}, {60, 1.2}, {60, 5}, {150, 1.2}} {
		rng := rand.New(rand.NewPCG(uint64(tc.n), 7))
		ribs, shifts, lone := 0, 0, 0
		for ribs < 12_000 {
			all := series(target, quiet(rng, tc.n, tc.sd), quiet(rng, tc.n, tc.sd))
			ribs += tc.n
			was := NoDrift
			for n := DriftFrom; n <= tc.n; n++ {
				f, _ := FindDrift(target, all[:n])
				if f.Kind != was && f.Kind != NoDrift {
					if f.Kind == LoneValue {
						lone++
					} else if was != Shifted && was != Creeps {
						shifts++
					}
				}
				was = f.Kind
			}
		}
		rate := func(k int) float64 { return 100 * float64(k) / float64(ribs) }
		t.Logf("stretches of %d, sd %g mm: %.2f false changes and %.2f lone ribs in 100 ribs", tc.n, tc.sd, rate(shifts), rate(lone))
		if rate(shifts+lone) > 0.6 {
			t.Errorf("stretches of %d, sd %g mm: %.2f false sentences in 100 ribs", tc.n, tc.sd, rate(shifts+lone))
		}
	}
}

func TestNothingIsSaidBelowTheCount(t *testing.T) {
	target := mustArch(t)
	x := []float64{0, .5, 0, .5, 0, 20, 20}
	if f, ok := FindDrift(target, series(target, x, x)); ok {
		t.Errorf("7 ribs gave %q", words.English.Say(f.Said))
	}
	d := NewDrift(target, series(target, x, x), Tip)
	if d.Now().Limits {
		t.Error("7 ribs carry limits")
	}
	x = append(x, 20)
	f, ok := FindDrift(target, series(target, x, x))
	if !ok || f.Rib != "6" || words.English.Say(f.Basis) != "8 ribs off jig J1, lot L1; provisional below 20" {
		t.Errorf("8 ribs, the last 3 of them 20 mm out: %+v", f)
	}
}

// A new set-up or lot starts afresh: what was before it is no reference, and the sentence goes.
func TestANewSetUpStartsAfresh(t *testing.T) {
	target := mustArch(t)
	rng := rand.New(rand.NewPCG(3, 3))
	tip, crown := quiet(rng, 30, 1), quiet(rng, 30, 1)
	for i := 12; i < 30; i++ {
		tip[i] += 8
	}
	for _, change := range []func(*Bent){func(b *Bent) { b.Jig = "J2" }, func(b *Bent) { b.Lot = "L2" }} {
		all := series(target, tip, crown)
		if _, ok := FindDrift(target, all); !ok {
			t.Fatal("the shift itself was not told")
		}
		for i := 12; i < 30; i++ {
			change(&all[i])
		}
		if f, ok := FindDrift(target, all); ok {
			t.Errorf("a shift at the restart was told: %q", words.English.Say(f.Said))
		}
		d := NewDrift(target, all, Tip)
		if len(d.Stretches) != 2 || len(d.Stretches[0].Points) != 12 || d.Stretches[0].Limits != true || d.Count() != 30 {
			t.Errorf("%d stretches", len(d.Stretches))
		}
	}
}

// A jig that gives way a little with every rib is told as that and not as a step.
func TestACreepIsNoStep(t *testing.T) {
	target := mustArch(t)
	rng := rand.New(rand.NewPCG(5, 5))
	creeps := 0
	for range 100 {
		tip, crown := quiet(rng, 24, 1), quiet(rng, 24, 1)
		for i := range tip {
			tip[i] -= 0.5 * float64(i)
		}
		f, ok := FindDrift(target, series(target, tip, crown))
		if !ok || f.Char != Tip {
			t.Fatalf("a creep of 0.5 mm a rib gave %+v", f)
		}
		if f.Kind == Creeps {
			creeps++
			if !strings.HasPrefix(words.English.Say(f.Said), "The tips have closed by about 1") || math.Abs(f.ByMM+11.5) > 3 {
				t.Fatalf("%+v", f)
			}
		}
	}
	if creeps < 90 {
		t.Errorf("%d of 100 creeps were told as such", creeps)
	}
}

// One stray rib is one stray rib: it is told while it is the latest and does not become a drift.
func TestALoneRibIsNoDrift(t *testing.T) {
	target := mustArch(t)
	rng := rand.New(rand.NewPCG(6, 6))
	for range 50 {
		tip, crown := quiet(rng, 24, 1), quiet(rng, 24, 1)
		tip[15] += 30
		f, ok := FindDrift(target, series(target, tip[:16], crown[:16]))
		if !ok || f.Kind != LoneValue || f.Rib != "16" || !strings.HasPrefix(words.English.Say(f.Said),
			"Rib 16 came off the jig with tips about ") {
			t.Fatalf("while it is the latest: %+v", f)
		}
		if f, ok := FindDrift(target, series(target, tip, crown)); ok && f.Kind != LoneValue && f.Char == Tip {
			t.Errorf("8 ribs later: %q", words.English.Say(f.Said))
		}
	}
}

// A change that is certain and too small to matter is not worth a walk to the jig.
func TestSmallChangesAreLeftAlone(t *testing.T) {
	target := mustArch(t)
	c, _ := target.Characteristic(Tip)
	rng := rand.New(rand.NewPCG(8, 8))
	tip, crown := quiet(rng, 40, 0.01), quiet(rng, 40, 0.01)
	for i := 20; i < 40; i++ {
		tip[i] += 0.05 * c.HalfWidth().MM()
	}
	if f, ok := FindDrift(target, series(target, tip, crown)); ok {
		t.Errorf("a twentieth of the tolerance gave %q", words.English.Say(f.Said))
	}
}

// What the sentence adds to a view that is read, for a batch of 24 ribs.
func BenchmarkDriftSentence(b *testing.B) {
	target := mustArch(b)
	rng := rand.New(rand.NewPCG(24, 24))
	all := series(target, quiet(rng, 24, 1), quiet(rng, 24, 1))
	for b.Loop() {
		FindDrift(target, all)
	}
}
