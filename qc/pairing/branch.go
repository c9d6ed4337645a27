package pairing

// branch proves the shortest tour, or finds a shorter one, by deciding edges: a node of the search is
// a set of edges that must or must not be used, bounded by 1-trees (Held and Karp 1971; the three-way
// split at a node of too high degree is that of T. Volgenant, R. Jonker, European J. Oper. Res. 9
// (1982) 83-89, from memory).
type branch struct {
	bound  int64 // scaled, of the parent
	pi     []int64
	parent *branch
	rules  []rule // beyond those of the parent
}

type rule struct {
	a, b int32
	use  int8
}

// maxOpen bounds the memory of the search: open branches times nodes.
const maxOpen = 5_000_000

// prove searches the branch of the least bound first and returns the length of the best tour and the bound
// that is proven then. better is called with the edges of each better tour.
func (o *oneTree) prove(length, root int64, work *budget, better func(next [][2]int32)) (int64, int64) {
	nodes := []*branch{{bound: root, pi: append([]int64(nil), o.pi...)}}
	var open heap
	open.push(event{root, 0})
	const rounds = 30
	for len(open) > 0 {
		if !work.spend(1) || len(open)*o.n > maxOpen {
			return length, min(o.whole(open[0].at), length)
		}
		at := -open.pop().what // of equal bounds the latest first
		b := nodes[at]
		nodes[at] = nil
		if o.whole(b.bound) >= length {
			break
		}
		copy(o.pi, b.pi)
		b.pi = nil
		if !o.apply(b) {
			continue
		}
		bound, ok := o.climb(length, rounds, work)
		if !ok || o.whole(bound) >= length {
			continue
		}
		if bound, ok = o.build(); !ok { // climb leaves another tree behind than its best
			continue
		}
		if o.isTour() {
			if l := o.whole(bound); l < length {
				length = l
				better(o.edges())
			}
			continue
		}
		decided := o.sharpen(bound, length)
		if b.parent == nil && len(b.rules) == 0 {
			o.forGood(decided)
		} else {
			b.rules = append(b.rules, decided...)
		}
		for _, r := range decided {
			o.rule[int(r.a)*o.n+int(r.b)], o.rule[int(r.b)*o.n+int(r.a)] = r.use, r.use
		}
		for _, rules := range o.split() {
			c := &branch{bound: max(bound, b.bound), pi: append([]int64(nil), o.pi...), parent: b, rules: rules}
			open.push(event{c.bound, -int32(len(nodes))})
			nodes = append(nodes, c)
		}
	}
	return length, length
}

// apply sets the rules and what follows from them: a node with two edges that must be used has no
// others, and one with only two that may be used must use both.
func (o *oneTree) apply(b *branch) bool {
	if o.base == nil {
		clear(o.rule)
	} else {
		copy(o.rule, o.base)
	}
	set := func(a, b int32, use int8) {
		o.rule[int(a)*o.n+int(b)], o.rule[int(b)*o.n+int(a)] = use, use
	}
	for ; b != nil; b = b.parent {
		for _, r := range b.rules {
			set(r.a, r.b, r.use)
		}
	}
	for again := true; again; {
		again = false
		for a := range int32(o.n) {
			row := o.rule[int(a)*o.n : (int(a)+1)*o.n]
			use, may := 0, 0
			for _, b := range o.joins(a) {
				if b == a || row[b] < 0 {
					continue
				}
				may++
				if row[b] > 0 {
					use++
				}
			}
			if use > 2 || may < 2 {
				return false
			}
			if use == 2 && may > 2 || may == 2 && use < 2 {
				to := int8(-1)
				if may == 2 {
					to = 1
				}
				for _, b := range o.joins(a) {
					if b != a && row[b] == 0 {
						set(a, b, to)
					}
				}
				again = true
			}
		}
	}
	o.must = 0
	for a := range int32(o.n) {
		for _, b := range o.joins(a) {
			if o.rule[int(a)*o.n+int(b)] > 0 {
				o.must++
			}
		}
	}
	o.must /= 2
	return true
}

// edges lists the edges of the 1-tree.
func (o *oneTree) edges() [][2]int32 {
	last := int32(o.n - 1)
	list := [][2]int32{{last, o.gap[0]}, {last, o.gap[1]}}
	for v := range last {
		if u := o.up[v]; u != none {
			list = append(list, [2]int32{u, v})
		}
	}
	return list
}

// split decides two edges at a node of too high degree: use both, use the one and not the other, or
// do not use the first.
func (o *oneTree) split() [][]rule {
	at := none
	for v := range int32(o.n) {
		if o.deg[v] > 2 && (at == none || o.deg[v] < o.deg[at]) {
			at = v
		}
	}
	var open []int32
	used := 0
	for _, e := range o.edges() {
		for i := range 2 {
			if e[i] == at {
				switch o.rule[int(at)*o.n+int(e[1-i])] {
				case 0:
					open = append(open, e[1-i])
				case 1:
					used++
				}
			}
		}
	}
	// The dearest open edge first: forbidding it costs least, using it most.
	for i := range open {
		for j := i; j > 0 && o.weight(at, open[j]) < o.weight(at, open[j-1]); j-- {
			open[j], open[j-1] = open[j-1], open[j]
		}
	}
	switch {
	case used > 2:
		return nil
	case used == 2: // the others follow
		return [][]rule{nil}
	}
	a := open[0]
	if used == 1 || len(open) == 1 {
		return [][]rule{{{at, a, -1}}, {{at, a, 1}}}
	}
	b := open[1]
	return [][]rule{{{at, a, -1}}, {{at, a, 1}, {at, b, -1}}, {{at, a, 1}, {at, b, 1}}}
}
