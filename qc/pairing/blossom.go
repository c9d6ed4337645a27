package pairing

// parents of outer and inner nodes in the tree.
func (g *engine) innerOver(b int32) int32 { return g.outer[g.ends[g.link[b]]] }

// shrink makes a blossom of the cycle that a tight half-edge closes between two outer nodes.
func (g *engine) shrink(h int32) {
	bu, bw := g.outer[g.ends[h]], g.outer[g.ends[h^1]]
	top := g.meet(bu, bw)
	b := g.spare[len(g.spare)-1]
	g.spare = g.spare[:len(g.spare)-1]
	kids, ties := g.kids[b][:0], g.ties[b][:0]
	for x := bu; x != top; x = g.innerOver(x) {
		kids = append(kids, x)
	}
	kids = append(kids, top)
	for i, j := 0, len(kids)-1; i < j; i, j = i+1, j-1 {
		kids[i], kids[j] = kids[j], kids[i]
	}
	for _, x := range kids[1:] {
		ties = append(ties, g.link[x])
	}
	ties = append(ties, h)
	for x := bw; x != top; x = g.innerOver(x) {
		kids = append(kids, x)
		ties = append(ties, g.link[x]^1)
	}
	g.kids[b], g.ties[b] = kids, ties
	g.base[b], g.link[b], g.up[b], g.label[b] = g.base[top], g.link[top], none, outer
	g.z[b] = -2 * g.now
	t := g.tree[top]
	g.tree[b] = t
	g.members[t] = append(g.members[t], b)
	g.chain(b)
	g.walk = g.walk[:0]
	for _, x := range kids {
		g.up[x] = b
		was := g.label[x]
		g.label[x] = free
		if int(x) >= g.n {
			if was == outer {
				g.z[x] += 2 * g.now
			} else {
				g.z[x] -= 2 * g.now
			}
		}
		for v := g.first[x]; ; v = g.next[v] {
			g.outer[v] = b
			if was == inner {
				g.y[v] -= 2 * g.now
				g.mayStay(v, t)
				g.walk = append(g.walk, v)
			}
			if v == g.last[x] {
				break
			}
		}
	}
	for _, v := range g.walk {
		g.scanVertex(v)
	}
}

// chain joins the vertex lists of the kids.
func (g *engine) chain(b int32) {
	kids := g.kids[b]
	g.first[b] = g.first[kids[0]]
	for i := 1; i < len(kids); i++ {
		g.next[g.last[kids[i-1]]] = g.first[kids[i]]
	}
	g.last[b] = g.last[kids[len(kids)-1]]
}

// meet finds the lowest outer node that both of two outer nodes hang from.
func (g *engine) meet(a, b int32) int32 {
	g.marked++
	for {
		if a != none {
			if g.mark[a] == g.marked {
				return a
			}
			g.mark[a] = g.marked
			if g.link[a] == none {
				a = none
			} else {
				a = g.innerOver(g.innerOver(a))
			}
		}
		a, b = b, a
		if a == none && b == none {
			panic("pairing: two outer nodes of one search have no common root")
		}
	}
}

// release makes the kids of an outermost blossom outermost.
func (g *engine) release(b int32) {
	for _, x := range g.kids[b] {
		g.up[x] = none
		for v := g.first[x]; ; v = g.next[v] {
			g.outer[v] = x
			if v == g.last[x] {
				break
			}
		}
	}
	g.label[b] = free
	g.spare = append(g.spare, b)
}

// dissolve releases an unlabelled outermost blossom whose dual is zero, and its kids likewise.
func (g *engine) dissolve(b int32) {
	if int(b) < g.n || g.z[b] != 0 {
		return
	}
	g.release(b)
	for _, x := range g.kids[b] {
		g.dissolve(x)
	}
}

// expand opens an inner blossom whose dual became zero: the even way round from where the tree
// enters to the base stays in the tree, the rest is freed.
func (g *engine) expand(b int32) {
	enter := g.ends[g.link[b]^1]
	for g.up[enter] != b {
		enter = g.up[enter]
	}
	kids, ties := g.kids[b], g.ties[b]
	i := 0
	for kids[i] != enter {
		i++
	}
	link := g.link[b]
	t := g.tree[b]
	g.release(b)
	n := len(kids)
	step, tie := n-1, func(from, to int) int32 { return ties[to] ^ 1 }
	if i%2 == 1 {
		step, tie = 1, func(from, to int) int32 { return ties[from] }
	}
	g.setInner(kids[i], link, 0, t)
	for i != 0 {
		j := (i + step) % n
		g.setOuter(kids[j], tie(i, j), -2*g.now, t)
		i = (j + step) % n
		g.setInner(kids[i], tie(j, i), 0, t)
	}
	for _, x := range kids {
		if g.label[x] == free {
			for v := g.first[x]; ; v = g.next[v] {
				g.y[v] -= g.now
				if v == g.last[x] {
					break
				}
			}
		}
	}
	for _, x := range kids {
		switch g.label[x] {
		case outer:
			g.scan(x)
		case free:
			for v := g.first[x]; ; v = g.next[v] {
				g.reachFree(v)
				if v == g.last[x] {
					break
				}
			}
		}
	}
}

// rebase rematches the inside of a node so that v is its base.
func (g *engine) rebase(b, v int32) {
	if int(b) < g.n || g.base[b] == v {
		return
	}
	x := v
	for g.up[x] != b {
		x = g.up[x]
	}
	g.rebase(x, v)
	kids, ties := g.kids[b], g.ties[b]
	n, i := len(kids), 0
	for kids[i] != x {
		i++
	}
	from, to := 0, i
	if i%2 == 1 {
		from, to = i+1, n+1
	}
	for j := from; j < to; j += 2 {
		h := ties[j%n]
		p, q := g.ends[h], g.ends[h^1]
		g.rebase(kids[j%n], p)
		g.rebase(kids[(j+1)%n], q)
		g.mate[p], g.mate[q] = h, h^1
	}
	rotate(kids, i)
	rotate(ties, i)
	g.base[b] = v
}

func rotate(s []int32, i int) {
	flip := func(s []int32) {
		for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
			s[i], s[j] = s[j], s[i]
		}
	}
	flip(s[:i])
	flip(s[i:])
	flip(s)
}

// augmentFrom matches the outer vertex s along h, or leaves it alone, and exchanges matched and
// unmatched edges from there to the root.
func (g *engine) augmentFrom(s, h int32) {
	for {
		b := g.outer[s]
		g.rebase(b, s)
		g.mate[s] = h
		if g.link[b] == none {
			return
		}
		t := g.innerOver(b)
		in := g.link[t]
		s, h = g.ends[in], in
		j := g.ends[in^1]
		g.rebase(t, j)
		g.mate[j] = in ^ 1
	}
}
