package pairing

import "math/rand/v2"

// searchPath looks for a short tour, bounds it, proves it if it is small enough, and spends what work
// is left on looking further.
func searchPath(t *tour, seed uint64, work *budget) Path {
	rng := rand.New(rand.NewPCG(seed, 0x5eed))
	t.begin()
	t.work = &budget{left: never}
	for v := range int32(t.n) {
		t.look(v)
	}
	t.settle()
	length := t.search(rng, t.length(), -never, work.part(1))
	o := newOneTree(t)
	bound, ok := o.climb(length, 1000, work.part(30))
	if !ok {
		panic("pairing: there is no 1-tree without rules")
	}
	low := min(o.whole(bound), length)
	if low < length && t.n-1 <= branchNodes {
		length = t.search(rng, length, low, work.part(4))
		length, low = o.prove(length, bound, work.part(80), t.follow)
	}
	length = t.search(rng, length, low, work)
	p := Path{Length: length + t.gain, LowerBound: min(low, length) + t.gain}
	start := t.at[t.n-1]
	for i := 1; i < t.n; i++ {
		p.Order = append(p.Order, int(t.order[(int(start)+i)%t.n]))
	}
	if t.last != none && p.Order[0] == int(t.last) || t.first != none && p.Order[0] != int(t.first) {
		reverse(p.Order)
	}
	return p
}

// follow takes over a tour given by its edges.
func (t *tour) follow(edges [][2]int32) {
	at := make([][]int32, t.n)
	for _, e := range edges {
		at[e[0]] = append(at[e[0]], e[1])
		at[e[1]] = append(at[e[1]], e[0])
	}
	from, v := none, int32(t.n-1)
	for i := range t.order {
		t.order[i], t.at[v] = v, int32(i)
		next := at[v][0]
		if next == from {
			next = at[v][1]
		}
		from, v = v, next
	}
}
