package qc

import (
	"math/rand/v2"
	"testing"
)

// stepped is a jig that holds still and, from the rib numbered since, stands off by so many millimetres. The
// values wander by half a millimetre, the step of the tape.
func stepped(n, since int, by float64) []float64 {
	rng := rand.New(rand.NewPCG(3, 1))
	x := make([]float64, n)
	for i := range x {
		x[i] = float64(rng.IntN(2)) / 2
		if i+1 >= since {
			x[i] += by
		}
	}
	return x
}

// The sentence listens to tips and crown: to whichever is plainer, to a change before a lone rib, and to the tips
// where both say the same.
func TestTipsAndCrownAreWatched(t *testing.T) {
	target := mustArch(t)
	still := stepped(20, 99, 0)
	for _, c := range []struct {
		name       string
		tip, crown []float64
		char       CharID
		kind       DriftKind
		rib        string
	}{
		{"nothing", still, still, "", NoDrift, ""},
		{"the crown alone", still, stepped(20, 14, 9), Crown, Shifted, "14"},
		{"the tips alone", stepped(20, 14, 9), still, Tip, Shifted, "14"},
		{"the plainer of two", stepped(20, 12, 4), stepped(20, 12, 12), Crown, Shifted, "12"},
		{"both alike", stepped(20, 12, 9), stepped(20, 12, 9), Tip, Shifted, "12"},
		{"a change before a lone rib", stepped(20, 20, 60), stepped(20, 14, 4), Crown, Shifted, "14"},
		{"a lone rib", stepped(20, 20, 60), still, Tip, LoneValue, "20"},
	} {
		f, ok := FindDrift(target, series(target, c.tip, c.crown))
		if ok != (c.kind != NoDrift) || f.Char != c.char || f.Kind != c.kind || f.Rib != c.rib {
			t.Errorf("%s: %v %+v", c.name, ok, f)
		}
	}
	if at := WatchedForDrift(target); at != [2]int{target.place(Tip), target.place(Crown)} {
		t.Errorf("watched at %v", at)
	}
}

// A tenth of the tolerance's half-width is worth a walk to the jig (common practice, no source): of tips of
// +-20 mm 2 mm, from eight ribs on.
func TestDriftThatMatters(t *testing.T) {
	target := mustArch(t)
	for _, c := range []struct {
		n    int
		by   float64
		told bool
	}{{24, 1.5, false}, {24, 2.5, true}, {8, 9, true}, {7, 9, false}} {
		x := stepped(c.n, c.n/2+1, c.by)
		if f, ok := FindDrift(target, series(target, x, stepped(c.n, 99, 0))); ok != c.told {
			t.Errorf("%v mm over %d ribs: %v %+v", c.by, c.n, ok, f)
		}
	}
}
