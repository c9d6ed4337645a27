package pairing

// bottleneck finds the least largest mismatch of a matching that leaves as many ribs alone as the given
// one, and the barrier which shows that a smaller one would leave more.
//
// The lower bound comes first: below the cost at which no more than alone groups of odd size remain,
// pairs cannot suffice (the case of the Tutte-Berge formula without a barrier). It is nearly always
// attained. Otherwise the interval up to the largest mismatch known is halved; a test that fails
// moves the lower end to the next mismatch at which its failed trees could grow.
func (in *instance) bottleneck(mate []int32, alone int) (worst int64, barrier []int32) {
	hi := in.worst(mate)
	lo := in.oddGroups(alone)
	for mid := lo; lo < hi; mid = lo + (hi-lo)/2 {
		most := in.rawAtMost(mid)
		c := in.admissible(most)
		for v, w := range mate {
			if w > int32(v) && in.at(int32(v), w) <= most {
				c.mate[v], c.mate[w] = w, int32(v)
			}
		}
		if c.grow(alone) <= alone {
			mate = c.mate
			hi = in.worst(mate)
			continue
		}
		barrier = c.barrier()
		lo = in.nextGrowth(c, most)
	}
	return hi, barrier
}

func (in *instance) worst(mate []int32) int64 {
	most := int64(-1)
	for v, w := range mate {
		if w > int32(v) {
			most = max(most, in.at(int32(v), w))
		}
	}
	return in.nanometres(most)
}

// nextGrowth is the least mismatch above most of a pair between an even vertex of the failed trees and
// anything but the barrier.
func (in *instance) nextGrowth(c *cardinality, most int64) int64 {
	least := never
	in.eachRow(func(u int, row []int64) {
		su := c.state[u]
		if su == inner {
			return
		}
		for i, raw := range row {
			if raw <= most || raw >= least || raw > in.most {
				continue
			}
			sv := c.state[u+1+i]
			if sv == inner || su != outer && sv != outer || !in.allowed(int32(u), int32(u+1+i)) {
				continue
			}
			least = raw
		}
	})
	return in.nanometres(least)
}

// oddGroups is the least mismatch at which joining all closer pairs leaves at most alone groups of odd
// size. The groups are those of the least spanning forest, grown here as Prim does.
func (in *instance) oddGroups(alone int) int64 {
	n := in.n
	near, by := make([]int64, n), make([]int32, n)
	done := make([]bool, n)
	for v := range near {
		near[v] = never
	}
	var tree []edge // cost holds the raw value
	for range n {
		u := none
		for v := range int32(n) {
			if !done[v] && (u == none || near[v] < near[u]) {
				u = v
			}
		}
		done[u] = true
		if near[u] < never {
			tree = append(tree, edge{by[u], u, near[u]})
		}
		for v := range int32(n) {
			if done[v] {
				continue
			}
			if raw := in.at(u, v); raw < near[v] && raw <= in.most && in.allowed(u, v) {
				near[v], by[v] = raw, u
			}
		}
	}
	return in.nanometres(oddForest(n, tree, alone))
}
