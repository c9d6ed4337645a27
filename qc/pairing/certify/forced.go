package certify

// forced checks that at least want ribs are left over by every pairing within a limit: the ribs
// without the barrier fall into odd groups, each of which needs a partner from the barrier for one of
// its ribs or leaves one over.
func (k *checker) forced(name string, barrier []int, limit int64, want int) error {
	out := make([]bool, k.n)
	for _, r := range barrier {
		if r < 0 || r >= k.n || out[r] || k.locked[r] {
			return fail("barrier %q names rib %d, which is unknown, locked or named twice", name, r)
		}
		out[r] = true
	}
	// Union of groups by admissible pairs.
	group := make([]int, k.n)
	var rest []int
	for i := range group {
		group[i] = i
		if !out[i] && !k.locked[i] {
			rest = append(rest, i)
		}
	}
	root := func(x int) int {
		for group[x] != x {
			group[x] = group[group[x]]
			x = group[x]
		}
		return x
	}
	within := k.within(limit)
	for a, i := range rest {
		for _, j := range rest[a+1:] {
			if within(i, j) && !k.banned[pair(i, j)] {
				group[root(i)] = root(j)
			}
		}
	}
	size := make([]int, k.n)
	for _, i := range rest {
		size[root(i)]++
	}
	odd := 0
	for _, s := range size {
		odd += s % 2
	}
	if odd-len(barrier) < want {
		return fail("barrier %q leaves %d odd groups for %d ribs, which forces %d leftovers, not %d", name, odd, len(barrier), odd-len(barrier),
			want)
	}
	return nil
}

// within returns a test of the mismatch against a limit that takes no root.
func (k *checker) within(limit int64) func(i, j int) bool {
	if limit < 0 {
		return func(int, int) bool { return false }
	}
	if k.Metric == Max {
		return func(i, j int) bool { return k.largest(k.Ribs[i].Dev, k.Ribs[j].Dev) <= limit/1000 }
	}
	reach := k.reach(limit + 1)
	return func(i, j int) bool { return k.square(k.Ribs[i].Dev, k.Ribs[j].Dev) < reach }
}
