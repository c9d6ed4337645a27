package pairing

// fixed is the weight, as something to be exchanged, of an edge that must be used.
const fixed = -int64(1) << 60

// sharpen decides edges from the 1-tree just built, which has the scaled bound given: an edge that no tour
// shorter than length can use is barred, and one that every such tour uses must be used. To use an edge
// that the tree lacks costs its weight less that of the dearest one which it makes superfluous; to do
// without one that the tree has costs its cheapest replacement less its weight (the method of T.
// Volgenant, R. Jonker, European J. Oper. Res. 9 (1982) 83-89, from memory). It returns what it decided
// beyond the rules in force.
func (o *oneTree) sharpen(bound, length int64) []rule {
	n, last := o.n, int32(o.n-1)
	room := (length-1)*o.scale - bound // what may come on top and still leave a shorter tour
	var out []rule
	o.dearest()
	inGap, third := fixed, never // dearest edge of the gap that may be exchanged, and what would replace it
	for _, v := range o.gap {
		if o.rule[int(v)*n+int(last)] == 0 {
			inGap = max(inGap, o.weight(v, last))
		}
	}
	for a := range last {
		row := o.rule[int(a)*n : (int(a)+1)*n]
		for _, b := range o.joins(a) {
			if b <= a || row[b] != 0 || o.uses(a, b) {
				continue
			}
			w, most := o.weight(a, b), inGap
			if b == last {
				third = min(third, w)
			} else {
				most = o.most[int(a)*n+int(b)]
				o.replace(a, b, w)
			}
			if w-most > room {
				out = append(out, rule{a, b, -1})
			}
		}
	}
	for v := range last {
		if u := o.up[v]; u != none && o.rule[int(v)*n+int(u)] == 0 && o.swap[v]-o.weight(u, v) > room {
			out = append(out, rule{v, u, 1})
		}
	}
	for _, v := range o.gap {
		if o.rule[int(v)*n+int(last)] == 0 && third-o.weight(v, last) > room {
			out = append(out, rule{v, last, 1})
		}
	}
	return out
}

// uses says whether the 1-tree has an edge.
func (o *oneTree) uses(a, b int32) bool {
	if b == int32(o.n-1) {
		return a == o.gap[0] || a == o.gap[1]
	}
	return o.up[a] == b || o.up[b] == a
}

// dearest fills in, for every two nodes, the weight of the dearest edge between them in the tree that may
// be exchanged.
func (o *oneTree) dearest() {
	n := o.n
	if o.most == nil {
		o.most, o.swap, o.deep = make([]int64, n*n), make([]int64, n), make([]int32, n)
	}
	for v := range o.swap {
		o.swap[v] = never
	}
	o.deep[o.seq[0]] = 0
	for i, v := range o.seq {
		u := o.up[v]
		if u == none {
			continue
		}
		o.deep[v] = o.deep[u] + 1
		w := o.weight(u, v)
		if o.rule[int(v)*n+int(u)] == 1 {
			w = fixed
		}
		from, row := o.most[int(u)*n:(int(u)+1)*n], o.most[int(v)*n:(int(v)+1)*n]
		for _, x := range o.seq[:i] {
			m := w
			if x != u {
				m = max(m, from[x])
			}
			row[x] = m
			o.most[int(x)*n+int(v)] = m
		}
	}
}

// replace notes that an edge could replace every tree edge between its ends.
func (o *oneTree) replace(a, b int32, w int64) {
	for a != b {
		if o.deep[a] < o.deep[b] {
			a, b = b, a
		}
		o.swap[a] = min(o.swap[a], w)
		a = o.up[a]
	}
}

// joins lists the nodes that a may be joined to, as far as decided for good.
func (o *oneTree) joins(a int32) []int32 {
	if o.near != nil {
		return o.near[a]
	}
	return o.all
}

// forGood makes rules hold in every branch from now on; edges barred are not looked at again.
func (o *oneTree) forGood(rules []rule) {
	o.base = make([]int8, o.n*o.n)
	for _, r := range rules {
		o.base[int(r.a)*o.n+int(r.b)], o.base[int(r.b)*o.n+int(r.a)] = r.use, r.use
	}
	near := make([][]int32, o.n)
	for a := range near {
		for b := range int32(o.n) {
			if int(b) != a && o.base[a*o.n+int(b)] >= 0 {
				near[a] = append(near[a], b)
			}
		}
	}
	o.near = near
}
