package pairing

import (
	"math/rand/v2"
	"testing"
)

// value is a pairing judged: more pairs, then smaller worst (if asked), then smaller sum, then more
// preferred pairs.
type value struct {
	count, shown int
	worst, sum   int64
}

func (v value) better(w value, o Objective) bool {
	switch {
	case v.count != w.count:
		return v.count > w.count
	case o == WorstThenSum && v.worst != w.worst:
		return v.worst < w.worst
	case v.sum != w.sum:
		return v.sum < w.sum
	}
	return v.shown > w.shown
}

// plainMismatch is the contract's definition written out with floating point kept away.
func plainMismatch(p *Problem, a, b int) int64 {
	k := len(p.Weights.Stations)
	x, y := p.Ribs[a].Dev, p.Ribs[b].Dev
	best := int64(-1)
	for turned := range 2 {
		var sum, most, total int64
		add := func(w int64, p, q int32) {
			d := int64(p) - int64(q)
			sum += w * d * d
			most = max(most, w*d, -w*d)
			total += w
		}
		add(p.Weights.Tip, x[0], y[0])
		add(p.Weights.Crown, x[1], y[1])
		for i, w := range p.Weights.Stations {
			l, r := 2+i, 2+k+i
			if turned == 1 {
				l, r = r, l
			}
			add(w, x[2+i], y[l])
			add(w, x[2+k+i], y[r])
		}
		m := 1000 * most
		if p.Metric == RMS {
			q := sum * 1_000_000 / total
			m = 0
			for s := int64(1) << 31; s > 0; s /= 2 {
				if (m+s)*(m+s) <= q {
					m += s
				}
			}
		}
		if best < 0 || m < best {
			best = m
		}
	}
	return best
}

// brute tries every pairing.
func brute(p *Problem) value {
	n := len(p.Ribs)
	used := make([]bool, n)
	for _, q := range p.Locked {
		used[q[0]], used[q[1]] = true, true
	}
	banned, shown := map[[2]int]bool{}, map[[2]int]bool{}
	for _, q := range p.Forbidden {
		banned[pairKey(q[0], q[1])] = true
	}
	for _, q := range p.Prefer {
		shown[pairKey(q[0], q[1])] = true
	}
	var best value
	first := true
	var try func(i int, v value)
	try = func(i int, v value) {
		for i < n && used[i] {
			i++
		}
		if i == n {
			if first || v.better(best, p.Objective) {
				best, first = v, false
			}
			return
		}
		used[i] = true
		for j := i + 1; j < n; j++ {
			if used[j] || banned[[2]int{i, j}] {
				continue
			}
			m := plainMismatch(p, i, j)
			if p.Limit != nil && m > *p.Limit {
				continue
			}
			w := v
			w.count++
			w.worst = max(w.worst, m)
			w.sum += m
			if p.Ribs[i].Lot != p.Ribs[j].Lot {
				w.sum += p.LotPenalty
			}
			if shown[[2]int{i, j}] {
				w.shown++
			}
			used[j] = true
			try(i+1, w)
			used[j] = false
		}
		try(i+1, v)
		used[i] = false
	}
	try(0, value{})
	return best
}

func judged(p *Problem, r *Result) value {
	v := value{count: r.Count, worst: r.Worst, sum: r.Sum}
	for _, q := range p.Prefer {
		for _, x := range r.Pairs {
			if !x.Locked && pairKey(q[0], q[1]) == [2]int{x.A, x.B} {
				v.shown++
				break
			}
		}
	}
	return v
}

// TestAgainstBruteForce tries all pairings of up to 10 ribs.
func TestAgainstBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	left, limited := 0, 0
	for round := range 3000 {
		n := 2 + rng.IntN(7)
		if round%20 == 0 {
			n = 9 + rng.IntN(2)
		}
		p := randomProblem(rng, n)
		// A pair that stands twice in Prefer counts once.
		seen := map[[2]int]bool{}
		var once [][2]int
		for _, q := range p.Prefer {
			if k := pairKey(q[0], q[1]); !seen[k] {
				seen[k] = true
				once = append(once, q)
			}
		}
		p.Prefer = once
		r, err := Solve(p)
		if err != nil {
			t.Fatalf("round %d: %v", round, err)
		}
		want := brute(&p)
		if got := judged(&p, &r); got.count != want.count || got.sum != want.sum || got.shown != want.shown ||
			p.Objective == WorstThenSum && got.worst != want.worst {
			t.Fatalf("round %d, n %d: got %+v, want %+v\n%+v", round, n, got, want, p)
		}
		if len(r.Unpaired)+2*len(r.Pairs) != n {
			t.Fatalf("round %d: %d pairs and %d left of %d", round, len(r.Pairs), len(r.Unpaired), n)
		}
		for _, q := range r.Pairs {
			if q.Mismatch != plainMismatch(&p, q.A, q.B) {
				t.Fatalf("round %d: mismatch of %+v should be %d", round, q, plainMismatch(&p, q.A, q.B))
			}
		}
		if len(r.Unpaired) > 1 {
			left++
		}
		if p.Limit != nil && r.Count > 0 {
			limited++
		}
	}
	if left < 100 || limited < 100 {
		t.Fatalf("only %d cases with leftovers and %d with limits", left, limited)
	}
}
