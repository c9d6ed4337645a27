package pairing

import (
	"math/rand/v2"
	"testing"
)

// TestOrderPairs compares with all orders and all ways to turn, on means written out as fractions.
func TestOrderPairs(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	for round := range 60 {
		p := randomProblem(rng, 10)
		var pairs [][2]int
		perm := rng.Perm(10)
		for i := range 2 + rng.IntN(4) {
			pairs = append(pairs, [2]int{perm[2*i], perm[2*i+1]})
		}
		r, err := OrderPairs(p, pairs, PathOptions{})
		if err != nil {
			t.Fatal(err)
		}
		// The sums of two ribs as ribs of half the size: mismatch of sums is twice that of means,
		// so compare squares or maxima of sums with the weights quartered, by brute force.
		sums := Problem{Metric: p.Metric, Weights: p.Weights, Ribs: p.pairSums(pairs)}
		way := func(order []int) int64 {
			var sum int64
			for i := 1; i < len(order); i++ {
				sum += halfMismatch(&sums, order[i-1], order[i])
			}
			return sum
		}
		best := int64(-1)
		permute(len(pairs), func(order []int) {
			if l := way(order); best < 0 || l < best {
				best = l
			}
		})
		if r.Length != best || way(r.Order) != best || !r.Optimal {
			t.Fatalf("round %d: length %d, that of the order %d, least %d", round, r.Length, way(r.Order), best)
		}
		// Standing as told, neighbours must differ by just the lengths counted.
		var stood int64
		for i := 1; i < len(r.Order); i++ {
			stood += standing(&sums, r.Order[i-1], r.Order[i], r.Turned[i-1], r.Turned[i])
		}
		if stood != best {
			t.Fatalf("round %d: turned as told the way is %d, not %d", round, stood, best)
		}
	}
}

func halfMismatch(p *Problem, a, b int) int64 {
	return min(standing(p, a, b, false, false), standing(p, a, b, false, true))
}

// standing is the mismatch of two means, given as sums, each turned or not.
func standing(p *Problem, a, b int, ta, tb bool) int64 {
	k := len(p.Weights.Stations)
	at := func(r int, turned bool, j int) int64 {
		if turned && j >= 2+k {
			j -= k
		} else if turned && j >= 2 {
			j += k
		}
		return int64(p.Ribs[r].Dev[j])
	}
	var sum, most, total int64
	for j := range 2 + 2*k {
		w := p.Weights.Tip
		if j == 1 {
			w = p.Weights.Crown
		} else if j > 1 {
			w = p.Weights.Stations[(j-2)%k]
		}
		d := at(a, ta, j) - at(b, tb, j)
		sum += w * d * d
		most = max(most, w*d, -w*d)
		total += w
	}
	if p.Metric == Max {
		return 500 * most
	}
	q := sum * 1_000_000 / (4 * total)
	r := int64(0)
	for s := int64(1) << 31; s > 0; s /= 2 {
		if (r+s)*(r+s) <= q {
			r += s
		}
	}
	return r
}

func permute(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var rec func(i int)
	rec = func(i int) {
		if i == n {
			f(order)
			return
		}
		for j := i; j < n; j++ {
			order[i], order[j] = order[j], order[i]
			rec(i + 1)
			order[i], order[j] = order[j], order[i]
		}
	}
	rec(0)
}
