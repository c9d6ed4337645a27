package pairing

import "math/bits"

// cardinality grows a matching to the largest size, without regard to cost, by Edmonds' search from
// one unmatched vertex at a time (Canad. J. Math. 17 (1965) 449-467). A search that fails leaves its
// tree behind: the even vertices of all such trees are those that some largest matching misses, the
// odd ones are the barrier that proves the size (Tutte and Berge; Gallai and Edmonds).
type cardinality struct {
	n     int
	adj   [][]uint64 // rows of bits
	mate  []int32
	state []uint8 // free, outer (even), inner (odd), of the present tree or a failed one
	from  []int32 // of an inner vertex: the outer one it was reached from; of a shrunk one: across the cycle
	base  []int32
	tree  []int32 // the vertices of the present tree
	fresh []uint64
	queue []int32
	mark  []int32
	stamp int32
}

func newCardinality(n int) *cardinality {
	words := (n + 63) / 64
	c := &cardinality{n: n, mate: make([]int32, n), state: make([]uint8, n), from: make([]int32, n),
		base: make([]int32, n), fresh: make([]uint64, words), mark: make([]int32, n)}
	flat := make([]uint64, n*words)
	for i := range n {
		c.adj = append(c.adj, flat[i*words:(i+1)*words])
		c.mate[i] = none
	}
	return c
}

func (c *cardinality) join(u, v int32) {
	c.adj[u][v>>6] |= 1 << (v & 63)
	c.adj[v][u>>6] |= 1 << (u & 63)
}

// grow enlarges the matching as far as it goes, or until it leaves at most enough vertices alone, and
// says how many it leaves.
func (c *cardinality) grow(enough int) int {
	alone := 0
	for v := range int32(c.n) {
		c.state[v], c.base[v], c.from[v] = free, v, none
		c.fresh[v>>6] |= 1 << (v & 63)
		if c.mate[v] == none {
			alone++
		}
	}
	for v := range int32(c.n) {
		if alone <= enough {
			break
		}
		if c.mate[v] == none && c.search(v) {
			alone -= 2
		}
	}
	return alone
}

func (c *cardinality) enter(v int32, state uint8) {
	c.state[v] = state
	c.fresh[v>>6] &^= 1 << (v & 63)
	c.tree = append(c.tree, v)
	if state == outer {
		c.queue = append(c.queue, v)
	}
}

func (c *cardinality) search(root int32) bool {
	c.tree, c.queue = c.tree[:0], c.queue[:0]
	c.enter(root, outer)
	for i := 0; i < len(c.queue); i++ {
		v := c.queue[i]
		for k, word := range c.adj[v] {
			for fresh := word & c.fresh[k]; fresh != 0; fresh &= fresh - 1 {
				w := int32(k<<6 + bits.TrailingZeros64(fresh))
				c.from[w] = v
				if c.mate[w] == none {
					c.augment(w)
					c.forget()
					return true
				}
				c.enter(w, inner)
				c.enter(c.mate[w], outer)
			}
			for other := word &^ c.fresh[k]; other != 0; other &= other - 1 {
				w := int32(k<<6 + bits.TrailingZeros64(other))
				if c.state[w] == outer && c.base[w] != c.base[v] {
					c.shrink(v, w)
				}
			}
		}
	}
	return false
}

// forget frees the vertices of a tree that was used up.
func (c *cardinality) forget() {
	for _, v := range c.tree {
		c.state[v], c.base[v], c.from[v] = free, v, none
		c.fresh[v>>6] |= 1 << (v & 63)
	}
}

func (c *cardinality) augment(w int32) {
	for w != none {
		v := c.from[w]
		next := c.mate[v]
		c.mate[w], c.mate[v] = v, w
		w = next
	}
}

func (c *cardinality) shrink(v, w int32) {
	top := c.meet(v, w)
	c.stamp++
	c.path(v, top, w)
	c.path(w, top, v)
	for i := 0; i < len(c.tree); i++ {
		x := c.tree[i]
		if c.mark[c.base[x]] != c.stamp {
			continue
		}
		c.base[x] = top
		if c.state[x] == inner {
			c.state[x] = outer
			c.queue = append(c.queue, x)
		}
	}
}

func (c *cardinality) meet(v, w int32) int32 {
	c.stamp++
	for x := c.base[v]; ; x = c.base[c.from[c.mate[x]]] {
		c.mark[x] = c.stamp
		if c.mate[x] == none {
			break
		}
	}
	x := c.base[w]
	for c.mark[x] != c.stamp {
		x = c.base[c.from[c.mate[x]]]
	}
	return x
}

// path marks the bases between v and top and lets the shrunk vertices be left the other way round.
func (c *cardinality) path(v, top, across int32) {
	for c.base[v] != top {
		m := c.mate[v]
		c.mark[c.base[v]], c.mark[c.base[m]] = c.stamp, c.stamp
		c.from[v] = across
		across = m
		v = c.from[m]
	}
}

// barrier lists the odd vertices of the failed trees.
func (c *cardinality) barrier() []int32 {
	var list []int32
	for v := range int32(c.n) {
		if c.state[v] == inner {
			list = append(list, v)
		}
	}
	return list
}
