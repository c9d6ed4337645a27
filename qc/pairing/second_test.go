package pairing

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// denseOptimum answers a problem with the O(n^3) matcher: BIG less cost makes the most pairs come
// first; the bottleneck is found by halving over all mismatches.
func denseOptimum(p *Problem) value {
	n := len(p.Ribs)
	busy := make([]bool, n)
	for _, q := range p.Locked {
		busy[q[0]], busy[q[1]] = true, true
	}
	banned := map[[2]int]bool{}
	for _, q := range p.Forbidden {
		banned[pairKey(q[0], q[1])] = true
	}
	mis := make([][]int64, n)
	var all []int64
	for i := range mis {
		mis[i] = make([]int64, n)
		for j := range mis[i] {
			mis[i][j] = -1
			if i == j || busy[i] || busy[j] || banned[pairKey(i, j)] {
				continue
			}
			if m := plainMismatch(p, i, j); p.Limit == nil || m <= *p.Limit {
				mis[i][j] = m
				all = append(all, m)
			}
		}
	}
	if len(all) == 0 {
		return value{}
	}
	slices.Sort(all)
	all = slices.Compact(all)
	big := (all[len(all)-1] + p.LotPenalty + 1) * int64(n/2+1)
	solve := func(most int64) value {
		w := make([][]int64, n)
		for i := range w {
			w[i] = make([]int64, n)
			for j, m := range mis[i] {
				if m >= 0 && m <= most {
					w[i][j] = big - m
					if p.Ribs[i].Lot != p.Ribs[j].Lot {
						w[i][j] -= p.LotPenalty
					}
				}
			}
		}
		var v value
		for i, j := range denseMatch(w) {
			if j > i {
				v.count++
				v.sum += big - w[i][j]
				v.worst = max(v.worst, mis[i][j])
			}
		}
		return v
	}
	best := solve(all[len(all)-1])
	if p.Objective == WorstThenSum {
		i, _ := slices.BinarySearchFunc(all, 0, func(m int64, _ int) int {
			if solve(m).count < best.count {
				return -1
			}
			return 1
		})
		best = solve(all[i])
	}
	return best
}

// TestAgainstDense compares instances beyond brute force, among them some with many leftovers, with a
// second solver that shares no code with the engine.
func TestAgainstDense(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	left := 0
	for round := range 250 {
		n := 11 + rng.IntN(50)
		p := randomProblem(rng, n)
		r, err := Solve(p)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		want := denseOptimum(&p)
		if r.Count != want.count || r.Sum != want.sum || p.Objective == WorstThenSum && r.Worst != want.worst {
			t.Fatalf("round %d, n %d: got %d pairs, worst %d, sum %d, want %+v", round, n, r.Count, r.Worst, r.Sum, want)
		}
		if len(r.Unpaired) > 1 {
			left++
		}
	}
	if left < 20 {
		t.Fatalf("only %d instances had leftovers", left)
	}
}
