package pairing

import (
	"cmp"
	"slices"
)

// oddForest is the least cost at which the edges up to it leave at most alone groups of odd size.
func oddForest(n int, tree []edge, alone int) int64 {
	slices.SortFunc(tree, func(a, b edge) int { return cmp.Compare(a.cost, b.cost) })
	group, odd := make([]int32, n), make([]bool, n)
	for v := range group {
		group[v], odd[v] = int32(v), true
	}
	find := func(v int32) int32 {
		for group[v] != v {
			group[v] = group[group[v]]
			v = group[v]
		}
		return v
	}
	count, at := n, int64(0)
	for _, e := range tree {
		if count <= alone {
			break
		}
		a, b := find(e.u), find(e.v)
		if odd[a] && odd[b] {
			count -= 2
		}
		group[a] = b
		odd[b] = odd[a] != odd[b]
		at = e.cost
	}
	return at
}
