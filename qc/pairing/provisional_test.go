package pairing

import (
	"errors"
	"math/rand/v2"
	"testing"
)

// keeping solves p with a preference for pairs shown before.
func keeping(p Problem, shown []Pair) (Result, error) {
	p.Prefer = nil
	for _, q := range shown {
		p.Prefer = append(p.Prefer, [2]int{q.A, q.B})
	}
	return Solve(p)
}

// TestPreferKeepsEqualPairs: eight equal ribs may be paired in 105 ways; what was shown stays.
func TestPreferKeepsEqualPairs(t *testing.T) {
	p := oneNumber(-1, 0, 0, 0, 0, 0, 0, 0, 0)
	shown := []Pair{{A: 0, B: 7}, {A: 1, B: 6}, {A: 2, B: 5}, {A: 3, B: 4}}
	for range 3 {
		r, err := keeping(p, shown)
		if err != nil {
			t.Fatal(err)
		}
		for i, q := range r.Pairs {
			if q.A != shown[i].A || q.B != shown[i].B {
				t.Fatalf("proposal %+v does not keep %+v", r.Pairs, shown)
			}
		}
		shown = r.Pairs
	}
	// A gain of one nanometre goes before what was shown.
	q := oneNumber(-1, 0, 1, 1, 0)
	r, err := keeping(q, []Pair{{A: 0, B: 1}, {A: 2, B: 3}})
	if err != nil || r.Sum != 0 {
		t.Errorf("sum %d (%v), want 0 in spite of the pairs shown", r.Sum, err)
	}
}

// TestPreferWhileRibsArrive re-solves after each arrival; a proposal differs from the last one only if
// its sum gains by it.
func TestPreferWhileRibsArrive(t *testing.T) {
	p := batch(60, 3)
	ribs := p.Ribs
	var shown []Pair
	for n := range len(ribs) + 1 {
		p.Ribs = ribs[:n]
		r, err := keeping(p, shown)
		if err != nil {
			t.Fatal(err)
		}
		q := p
		q.Prefer = nil
		plain, err := Solve(q)
		if err != nil || plain.Sum != r.Sum || plain.Count != r.Count {
			t.Fatalf("%d ribs: proposal of %d, optimum %d (%v)", n, r.Sum, plain.Sum, err)
		}
		shown = r.Pairs
	}
}

// TestRegretAgainstBruteForce forces every admissible pair of small problems.
func TestRegretAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	tried := 0
	for range 150 {
		p := randomProblem(rng, 3+rng.IntN(5))
		p.Prefer = nil
		best := brute(&p)
		a := rng.IntN(len(p.Ribs))
		b := (a + 1 + rng.IntN(len(p.Ribs)-1)) % len(p.Ribs)
		free, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		r, err := p.RegretAgainst(free, a, b)
		m := plainMismatch(&p, a, b)
		f := p
		f.Locked = append(append([][2]int(nil), p.Locked...), [2]int{a, b})
		if f.validate() != nil || p.Limit != nil && m > *p.Limit {
			var e *InputError
			if !errors.As(err, &e) || e.Rib == "" {
				t.Fatalf("a pair that may not be formed: %+v, %v", r, err)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		tried++
		forced := brute(&f)
		cost := m
		if p.Ribs[a].Lot != p.Ribs[b].Lot {
			cost += p.LotPenalty
		}
		if r.Pairs != best.count-forced.count-1 || r.Sum != forced.sum+cost-best.sum {
			t.Fatalf("regret %+v, want %d pairs and %d", r, best.count-forced.count-1, forced.sum+cost-best.sum)
		}
		if r.Pairs < 0 || r.Pairs == 0 && p.Objective == Sum && r.Sum < 0 {
			t.Fatalf("regret %+v says that the best pairing was not the best", r)
		}
	}
	if tried < 50 {
		t.Errorf("only %d pairs were forced", tried)
	}
}

func TestPartners(t *testing.T) {
	p := oneNumber(50_000, 0, 30, -20, 60, 20, 50)
	p.Locked = [][2]int{{1, 3}}
	p.Forbidden = [][2]int{{4, 0}}
	list, err := Partners(p, 0)
	if err != nil {
		t.Fatal(err)
	}
	// 1 and 3 are locked, 4 is forbidden, 2 is 20 and 5 just 50 micrometres away.
	if len(list) != 2 || list[0].B != 2 || list[0].Mismatch != 20_000 || list[1].B != 5 || list[1].Mismatch != 50_000 {
		t.Errorf("partners %+v", list)
	}
	if _, err := Partners(p, 6); err == nil {
		t.Error("a rib that does not exist has partners")
	}
}

func TestTight(t *testing.T) {
	r := Result{Pairs: []Pair{{Cost: 5}, {Cost: 1, Locked: true}, {Cost: 3}, {Cost: 9}, {Cost: 7}}}
	for percent, want := range map[int]int64{0: 3, 10: 3, 25: 3, 26: 5, 50: 5, 100: 9} {
		if got := r.Tight(percent); got != want {
			t.Errorf("%d per cent: %d, want %d", percent, got, want)
		}
	}
	if got := (Result{}).Tight(50); got != -1 {
		t.Errorf("no pairs: %d", got)
	}
}
