package pairing

import "slices"

// nearest keeps the k best pairs of every rib while the pairs pass by.
type nearest struct {
	k    int
	raw  []int64 // k a rib, a heap with the worst first, full of never at the start
	with []int32
}

func newNearest(n, k int) *nearest {
	s := &nearest{k: k, raw: make([]int64, n*k), with: make([]int32, n*k)}
	for i := range s.raw {
		s.raw[i], s.with[i] = never, none
	}
	return s
}

// offer puts a pair in the place of the rib's worst.
func (s *nearest) offer(u, v int32, raw int64) {
	h := s.raw[int(u)*s.k : (int(u)+1)*s.k]
	w := s.with[int(u)*s.k : (int(u)+1)*s.k]
	i := 0
	for {
		c := 2*i + 1
		if c >= len(h) {
			break
		}
		if c+1 < len(h) && h[c+1] > h[c] {
			c++
		}
		if h[c] <= raw {
			break
		}
		h[i], w[i] = h[c], w[c]
		i = c
	}
	h[i], w[i] = raw, v
}

// candidates picks for every rib the k nearest admissible ones, with a lot penalty half of them from
// the rib's own lot and half from others. Edges come sorted by their ends; every other admissible pair
// of a rib v has a raw value of at least beyond[v].
func (in *instance) candidates(k int) (list []edge, beyond []int64) {
	k = min(k, max(in.n-1, 1))
	near := newNearest(in.n, k)
	far := near
	if in.penalty > 0 {
		k = (k + 1) / 2
		near, far = newNearest(in.n, k), newNearest(in.n, k)
	}
	in.eachRow(func(u int, row []int64) {
		a := int32(u)
		for i, raw := range row {
			b := int32(u + 1 + i)
			s := near
			if far != near && in.lot[a] != in.lot[b] {
				s = far
			}
			wa, wb := s.raw[u*k], s.raw[int(b)*k]
			if raw >= wa && raw >= wb || raw > in.most || !in.allowed(a, b) {
				continue
			}
			if raw < wa {
				s.offer(a, b, raw)
			}
			if raw < wb {
				s.offer(b, a, raw)
			}
		}
	})
	type found struct {
		key uint64
		raw int64
	}
	var all []found
	gather := func(s *nearest) {
		for i, v := range s.with {
			if v != none {
				all = append(all, found{key(int32(i/s.k), v), s.raw[i]})
			}
		}
	}
	gather(near)
	if far != near {
		gather(far)
	}
	slices.SortFunc(all, func(a, b found) int {
		if a.key < b.key {
			return -1
		}
		if a.key > b.key {
			return 1
		}
		return 0
	})
	list = make([]edge, 0, len(all))
	for i, f := range all {
		if i == 0 || f.key != all[i-1].key {
			list = append(list, in.edge(int32(f.key>>32), int32(uint32(f.key)), f.raw))
		}
	}
	beyond = make([]int64, in.n)
	for v := range beyond {
		beyond[v] = min(near.raw[v*k], far.raw[v*k])
	}
	return list, beyond
}

func (in *instance) edge(u, v int32, raw int64) edge {
	return edge{u, v, 2 * in.price(u, v, in.nanometres(raw))}
}
