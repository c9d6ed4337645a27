package pairing

// oneTree bounds tours from below: a spanning tree of all nodes but the gap, and the gap's two
// cheapest edges, under penalties on the nodes (M. Held, R. M. Karp, Math. Programming 1 (1971)
// 6-25). Every tour is such a 1-tree, and penalties change all tours alike, by twice their sum. All
// in whole numbers: costs are multiplied by scale, so that penalties may be fractions of a cost.
type oneTree struct {
	t     *tour
	n     int
	scale int64
	pi    []int64
	rule  []int8 // n x n: 1 the edge must be used, -1 it must not
	must  int    // edges with rule 1
	deg   []int32
	up    []int32 // tree edge of each node but the root; none for the root and the gap
	gap   [2]int32
	key   []int64
	rest  []int32
	seq   []int32 // nodes but the gap in the order in which they joined the tree
	all   []int32
	// what sharpen decided for good, once it has
	near [][]int32
	base []int8
	// room for sharpen to work in
	most, swap []int64
	deep       []int32
}

// force makes an edge that must be used cheaper than any other; joined is the key of a node of the tree.
const (
	force  = int64(1) << 61
	joined = -never
)

func newOneTree(t *tour) *oneTree {
	n := t.n
	o := &oneTree{t: t, n: n, scale: 1 << 12, pi: make([]int64, n), rule: make([]int8, n*n), deg: make([]int32, n),
		up: make([]int32, n), key: make([]int64, n), rest: make([]int32, 0, n)}
	for v := range int32(n) {
		o.all = append(o.all, v)
	}
	var total int64 = 1
	for i := range n {
		var most int64
		for _, c := range t.cost[i*n : (i+1)*n] {
			most = max(most, abs(c))
		}
		total += most
	}
	for o.scale > 1 && o.scale > (1<<55)/total {
		o.scale /= 2
	}
	return o
}

func (o *oneTree) weight(a, b int32) int64 {
	return o.t.d(a, b)*o.scale + o.pi[a] + o.pi[b]
}

// build finds the least 1-tree that keeps the rules and returns its scaled length under the
// penalties, less twice their sum; ok is false if there is none.
func (o *oneTree) build() (bound int64, ok bool) {
	last := int32(o.n - 1)
	for v := range o.deg {
		o.deg[v], o.up[v], o.key[v] = 0, none, never
	}
	o.rest, o.seq = o.rest[:0], o.seq[:0]
	for v := int32(1); v < last; v++ {
		o.rest = append(o.rest, v)
	}
	used := 0
	o.key[0], o.key[last] = joined, joined
	for u := int32(0); ; {
		o.seq = append(o.seq, u)
		best, least := o.reach(u)
		if best < 0 {
			break
		}
		u = o.rest[best]
		o.key[u] = joined
		o.rest[best] = o.rest[len(o.rest)-1]
		o.rest = o.rest[:len(o.rest)-1]
		if least < -force/2 {
			least += force
			used++
		}
		bound += least
		o.deg[u]++
		o.deg[o.up[u]]++
	}
	if len(o.rest) > 0 {
		return 0, false
	}
	w := [2]int64{never, never}
	for _, v := range o.joins(last) {
		if v == last {
			continue
		}
		c := o.weight(last, v)
		switch o.rule[int(last)*o.n+int(v)] {
		case -1:
			continue
		case 1:
			c -= force
		}
		if c < w[0] {
			w[1], o.gap[1] = w[0], o.gap[0]
			w[0], o.gap[0] = c, v
		} else if c < w[1] {
			w[1], o.gap[1] = c, v
		}
	}
	for i, c := range w {
		if c == never {
			return 0, false
		}
		if c < -force/2 {
			c += force
			used++
		}
		bound += c
		o.deg[o.gap[i]]++
	}
	o.deg[last] = 2
	for _, p := range o.pi {
		bound -= 2 * p
	}
	return bound, used == o.must
}

// reach updates what it costs to join each node outside the tree after u has joined, and gives the place of
// the cheapest among rest.
func (o *oneTree) reach(u int32) (best int, least int64) {
	best, least = -1, never
	row, rule, pu := o.t.cost[int(u)*o.n:(int(u)+1)*o.n], o.rule[int(u)*o.n:(int(u)+1)*o.n], o.pi[u]
	if o.near != nil {
		for _, v := range o.near[u] {
			r := rule[v]
			if r < 0 || o.key[v] == joined {
				continue
			}
			w := row[v]*o.scale + pu + o.pi[v]
			if r > 0 {
				w -= force
			}
			if w < o.key[v] {
				o.key[v], o.up[v] = w, u
			}
		}
		for i, v := range o.rest {
			if o.key[v] < least {
				least, best = o.key[v], i
			}
		}
		return best, least
	}
	for i, v := range o.rest {
		if r := rule[v]; r >= 0 {
			w := row[v]*o.scale + pu + o.pi[v]
			if r > 0 {
				w -= force
			}
			if w < o.key[v] {
				o.key[v], o.up[v] = w, u
			}
		}
		if o.key[v] < least {
			least, best = o.key[v], i
		}
	}
	return best, least
}

// whole turns a scaled bound into the least whole length that is not below it.
func (o *oneTree) whole(bound int64) int64 {
	q := bound / o.scale
	if bound%o.scale > 0 {
		q++
	}
	return q
}

// isTour says whether the 1-tree just built is a tour.
func (o *oneTree) isTour() bool {
	for _, d := range o.deg {
		if d != 2 {
			return false
		}
	}
	return true
}

// effort is about the steps that a 1-tree takes.
func (o *oneTree) effort() int64 {
	if o.near != nil {
		return int64(o.n) * int64(o.n) / 4
	}
	return int64(o.n) * int64(o.n) / 2
}

// climb raises the bound by subgradient steps on the penalties until it reaches the length of the best
// tour, ceases to rise, or the work is spent. The penalties are left at their best.
func (o *oneTree) climb(length int64, rounds int, work *budget) (best int64, ok bool) {
	best = -never
	keep := append([]int64(nil), o.pi...)
	before := make([]int32, o.n)
	pace, since := int64(2048), 0 // 1024ths
	if rounds < 100 {
		pace = 512
	}
	top := length * o.scale
	for i := range rounds {
		w, ok := o.build()
		if !ok {
			return 0, false
		}
		if w > best {
			if w-best > (top-w)/1000 {
				since = 0
			}
			best = w
			copy(keep, o.pi)
			if o.whole(best) >= length || o.isTour() {
				break
			}
		} else {
			since++
		}
		if since > 4 {
			pace, since = pace*3/4, 0
		}
		var square int64
		for _, d := range o.deg {
			square += int64(d-2) * int64(d-2)
		}
		step := (top - w) / 1024 * pace / max(square, 1)
		if step == 0 || !work.spend(o.effort()) {
			break
		}
		if i == 0 {
			copy(before, o.deg)
		}
		for v, d := range o.deg {
			o.pi[v] += step * int64(7*(d-2)+3*(before[v]-2)) / 10
		}
		copy(before, o.deg)
	}
	copy(o.pi, keep)
	return best, true
}
