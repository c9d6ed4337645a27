package pairing

import (
	"math/rand/v2"
	"strings"
	"testing"

	"springline/qc/words"
)

// oneNumber makes ribs that differ in their tip only, so that distances are plain to see.
func oneNumber(limit int64, tips ...int32) Problem {
	p := Problem{Metric: Max, Objective: Sum, Weights: Weights{Tip: 1, Crown: 1}}
	if limit >= 0 {
		p.Limit = &limit
	}
	for i, x := range tips {
		p.Ribs = append(p.Ribs, Rib{ID: string(rune('a' + i)), Dev: []int32{x, 0}})
	}
	return p
}

func TestReasonsForLeftovers(t *testing.T) {
	star := oneNumber(10_000, 0, 10, -10, 10) // all want "a", and b and d pair
	star.Forbidden = [][2]int{{1, 3}}
	only := oneNumber(-1, 0, 1)
	only.Forbidden = [][2]int{{1, 0}}
	for name, c := range map[string]struct {
		p    Problem
		left string
		says []string
	}{
		"a single rib": {oneNumber(-1, 5), "a", []string{"no other rib"}},
		"odd":          {oneNumber(-1, 0, 1, 50), "c", []string{"number of ribs is odd"}},
		"too far":      {oneNumber(1_000, 0, 1, 50), "c", []string{"limit of 0.001 mm", `"b" with 0.049 mm`}},
		"forbidden":    {only, "ab", []string{"forbidden"}},
		"contest":      {star, "bc", []string{`one rib ("a") is wanted by 3`}},
		"odd group":    {oneNumber(2_000, 0, 1, 2, 90, 91, 92), "af", []string{"group of 3 ribs", "odd number"}},
	} {
		r, err := Solve(c.p)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if len(r.Unpaired) != len(c.left) {
			t.Fatalf("%s: left over %+v, want %d", name, r.Unpaired, len(c.left))
		}
		for _, l := range r.Unpaired {
			for _, s := range c.says {
				if why := words.English.Say(l.Why); !strings.Contains(why, s) {
					t.Errorf("%s: rib %s: %q does not say %q", name, c.p.Ribs[l.Rib].ID, why, s)
				}
			}
		}
	}
}

// TestEveryLeftoverHasAReason on random problems, locked ribs never being among them.
func TestEveryLeftoverHasAReason(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	kinds := map[words.Code]int{}
	for range 400 {
		p := randomProblem(rng, 2+rng.IntN(40))
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Unpaired {
			if l.Why == nil || l.Why == (words.OthersNeed{}) {
				t.Fatalf("rib %d of %+v: %v", l.Rib, p, l.Why)
			}
			kinds[l.Why.Code()]++
		}
	}
	if len(kinds) < 4 {
		t.Errorf("only these kinds of reasons were met: %v", kinds)
	}
}
