package pairing

import (
	"math/bits"
	"math/rand/v2"
	"testing"
)

// oddParts counts the components of odd size that stay when the barrier is taken away.
func oddParts(c *cardinality, without []int32) int {
	gone := make([]bool, c.n)
	for _, v := range without {
		gone[v] = true
	}
	odd := 0
	for s := range int32(c.n) {
		if gone[s] {
			continue
		}
		gone[s] = true
		stack := []int32{s}
		size := 0
		for len(stack) > 0 {
			v := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			size++
			for k, w := range c.adj[v] {
				for ; w != 0; w &= w - 1 {
					x := int32(k<<6 + bits.TrailingZeros64(w))
					if !gone[x] {
						gone[x] = true
						stack = append(stack, x)
					}
				}
			}
		}
		odd += size % 2
	}
	return odd
}

// TestCardinalityProof holds every matching to the Tutte-Berge formula: vertices left alone equal odd
// components less the barrier, which no larger matching could meet.
func TestCardinalityProof(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	deep := 0
	for range 3000 {
		n := 1 + rng.IntN(90)
		c := newCardinality(n)
		for range rng.IntN(2*n + 1) {
			u, v := rng.IntN(n), rng.IntN(n)
			if u != v {
				c.join(int32(u), int32(v))
			}
		}
		alone := c.grow(0)
		seen := 0
		for v, m := range c.mate {
			if m == none {
				seen++
				continue
			}
			if c.mate[m] != int32(v) || c.adj[v][m>>6]>>(m&63)&1 == 0 {
				t.Fatalf("vertex %d is matched with %d, which is not its partner or neighbour", v, m)
			}
		}
		b := c.barrier()
		if alone != seen || oddParts(c, b)-len(b) != alone {
			t.Fatalf("n %d: %d alone (counted %d), %d odd parts, barrier of %d", n, alone, seen, oddParts(c, b), len(b))
		}
		if len(b) > 0 && alone > 0 {
			deep++
		}
	}
	if deep < 500 {
		t.Fatalf("only %d instances had a barrier; the test would prove little", deep)
	}
}
