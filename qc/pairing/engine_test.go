package pairing

import (
	"math/rand/v2"
	"testing"
)

// checkDuals holds the engine to the optimality conditions over its own edges.
func checkDuals(t *testing.T, g *engine) {
	t.Helper()
	around := func(v int32) map[int32]bool {
		m := map[int32]bool{}
		for x := v; x != none; x = g.up[x] {
			m[x] = true
		}
		return m
	}
	for e, c := range g.cost {
		u, v := g.ends[2*e], g.ends[2*e+1]
		s := c - g.y[u] - g.y[v]
		au := around(u)
		for x := range around(v) {
			if au[x] {
				s += g.z[x]
			}
		}
		if s < 0 {
			t.Fatalf("edge %d-%d has slack %d", u, v, s)
		}
		if g.mate[u] != none && g.mate[u]>>1 == int32(e) && s != 0 {
			t.Fatalf("matched edge %d-%d has slack %d", u, v, s)
		}
	}
	for v := range int32(g.n) {
		if g.y[v] > g.lambda || g.mate[v] == none && g.y[v] != g.lambda {
			t.Fatalf("vertex %d: dual %d, lambda %d, mate %d", v, g.y[v], g.lambda, g.mate[v])
		}
		for x := g.up[v]; x != none; x = g.up[x] {
			if g.z[x] < 0 {
				t.Fatalf("blossom %d has dual %d", x, g.z[x])
			}
			inside := 0
			count := 0
			for w := g.first[x]; ; w = g.next[w] {
				count++
				if p := g.partner(w); p != none && around(p)[x] {
					inside++
				}
				if w == g.last[x] {
					break
				}
			}
			if inside != count-1 {
				t.Fatalf("blossom %d of %d has %d matched inside", x, count, inside)
			}
		}
	}
}

// TestEngineAgainstDense compares the sparse engine with the independent O(n^3) one on random graphs
// of many densities and with many ties, for several prices of staying alone.
func TestEngineAgainstDense(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for round := range 4000 {
		n := 1 + rng.IntN(24)
		top := int64(1 + rng.IntN(1<<rng.IntN(12)))
		density := rng.Float64()
		lambda := top/4 + rng.Int64N(2*top) + 1
		w := make([][]int64, n)
		for i := range w {
			w[i] = make([]int64, n)
		}
		var list []edge
		for i := range n {
			for j := range i {
				if rng.Float64() < density {
					c := rng.Int64N(top + 1)
					list = append(list, edge{int32(j), int32(i), 2 * c})
					if c < 2*lambda {
						w[i][j], w[j][i] = 2*lambda-c, 2*lambda-c
					}
				}
			}
		}
		g := newEngine(n)
		g.addEdges(list)
		g.lambda = 2 * lambda
		g.begin()
		g.run()
		checkDuals(t, g)
		var want, got int64
		for i, j := range denseMatch(w) {
			if j > i {
				want += w[i][j]
			}
		}
		for v := range int32(n) {
			if p := g.partner(v); p > v {
				got += 2*lambda - g.cost[g.mate[v]>>1]/2
			}
		}
		if got != want {
			t.Fatalf("round %d: n %d, saved %d, want %d", round, n, got, want)
		}
	}
}
