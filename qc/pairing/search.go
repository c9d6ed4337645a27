package pairing

// run grows alternating trees from all unmatched vertices that may still gain from a partner, all at
// the same pace, until each is matched or some vertex of its tree is better left alone. Growing
// together keeps the trees small: two that meet half-way have each seen far fewer ribs than one
// that goes the whole way.
func (g *engine) run() {
	g.now, g.events = 0, g.events[:0]
	g.epoch++
	g.live, g.members, g.exit = 0, g.members[:0], g.exit[:0]
	for v := range int32(g.n) {
		if g.mate[v] == none && g.y[v] < g.lambda {
			g.plant(v)
		}
	}
	for t := range g.members {
		g.scan(g.members[t][0])
	}
	for g.live > 0 {
		e := g.events.pop()
		g.now = e.at
		switch b := ^e.what; {
		case e.what >= 0:
			g.tight(e.what)
		case int(b) < len(g.z):
			if g.label[b] == inner && g.up[b] == none && g.z[b] == 2*g.now {
				g.expand(b)
			}
		default:
			v := b - int32(len(g.z))
			if x := g.outer[v]; g.label[x] == outer && g.lambda-g.y[v] == g.now {
				g.augmentFrom(v, none)
				g.fell(g.tree[x], none)
			}
		}
	}
}

// plant makes an unmatched node the root of a tree. Slacks between outer nodes are halved, so all
// roots start with even duals, growing by -1 where need be.
func (g *engine) plant(v int32) {
	b := g.outer[v]
	if g.y[v]&1 != 0 {
		for int(b) >= g.n && g.z[b] == 0 {
			g.release(b)
			b = g.outer[v]
		}
		for w := g.first[b]; ; w = g.next[w] {
			g.y[w]--
			if w == g.last[b] {
				break
			}
		}
		if int(b) >= g.n {
			g.z[b] -= 2
		}
	}
	t := len(g.members)
	if t < cap(g.members) {
		g.members = g.members[:t+1]
		g.members[t] = g.members[t][:0]
	} else {
		g.members = append(g.members, nil)
	}
	g.exit = append(g.exit, never)
	g.live++
	g.setOuter(b, none, 0, int32(t))
}

// tight handles a half-edge whose tail was outer and whose slack was to be zero now, unless labels
// changed meanwhile.
func (g *engine) tight(h int32) {
	u, w := g.ends[h], g.ends[h^1]
	bu, bw := g.outer[u], g.outer[w]
	if bu == bw {
		return
	}
	slack := g.cost[h>>1] - g.y[u] - g.y[w] - g.now // u outer, w free
	switch {
	case g.label[bw] == free:
		if g.label[bu] != outer || slack != 0 {
			if g.reach[w] == g.now {
				g.reachFree(w)
			}
			return
		}
		m := g.mate[g.base[bw]]
		t := g.tree[bu]
		if m == none { // left alone by an earlier tree
			g.augmentFrom(u, h)
			g.rebase(bw, w)
			g.mate[w] = h ^ 1
			g.fell(t, none)
			for v := g.first[bw]; ; v = g.next[v] { // the event that told of it is used up
				g.reachFree(v)
				if v == g.last[bw] {
					break
				}
			}
			return
		}
		g.setInner(bw, h, g.now, t)
		b := g.outer[g.ends[m^1]]
		g.setOuter(b, m, -g.now, t)
		g.scan(b)
	case g.label[bw] == outer && g.label[bu] == outer && slack == g.now:
		t, s := g.tree[bu], g.tree[bw]
		if t == s {
			g.shrink(h)
			return
		}
		g.augmentFrom(u, h)
		g.augmentFrom(w, h^1)
		g.fell(t, s)
	}
}

// setOuter labels a node outer; shift turns the duals of its vertices into stored ones.
func (g *engine) setOuter(b, link int32, shift int64, t int32) {
	g.label[b], g.link[b], g.tree[b] = outer, link, t
	g.members[t] = append(g.members[t], b)
	if int(b) >= g.n {
		g.z[b] -= 2 * g.now
	}
	for v := g.first[b]; ; v = g.next[v] {
		g.y[v] += shift
		g.mayStay(v, t)
		if v == g.last[b] {
			return
		}
	}
}

// mayStay notes when an outer vertex could be left alone, if it is the first of its tree.
func (g *engine) mayStay(v, t int32) {
	if at := g.lambda - g.y[v]; at < g.exit[t] {
		g.exit[t] = at
		g.events.push(event{at, ^(int32(len(g.z)) + v)})
	}
}

func (g *engine) setInner(b, link int32, shift int64, t int32) {
	g.label[b], g.link[b], g.tree[b] = inner, link, t
	g.members[t] = append(g.members[t], b)
	if int(b) >= g.n {
		g.events.push(event{g.now + g.z[b]/2, ^b})
		g.z[b] += 2 * g.now
	}
	if shift == 0 {
		return
	}
	for v := g.first[b]; ; v = g.next[v] {
		g.y[v] += shift
		if v == g.last[b] {
			return
		}
	}
}

// scan looks at the edges of all vertices of a node that became outer.
func (g *engine) scan(b int32) {
	for v := g.first[b]; ; v = g.next[v] {
		g.scanVertex(v)
		if v == g.last[b] {
			return
		}
	}
}

func (g *engine) scanVertex(v int32) {
	b := g.outer[v]
	y := g.y[v] // as stored: the dual less the time
	for _, a := range g.edges(v) {
		w := a.to
		bw := g.outer[w]
		if bw == b {
			continue
		}
		switch g.label[bw] {
		case free:
			t := a.cost - y - g.y[w]
			if g.seen[w] != g.epoch || t < g.reach[w] {
				g.seen[w], g.reach[w] = g.epoch, t
				g.events.push(event{t, a.h})
			}
		case outer:
			s := a.cost - y - g.y[w] // twice the time
			if s&1 != 0 {
				panic("pairing: two outer duals of unequal parity")
			}
			g.events.push(event{s / 2, a.h})
		}
	}
}

// reachFree finds anew when a free vertex can be reached.
func (g *engine) reachFree(w int32) {
	best, by := never, none
	for _, a := range g.edges(w) {
		if g.label[g.outer[a.to]] == outer {
			if t := a.cost - g.y[a.to] - g.y[w]; t < best {
				best, by = t, a.h^1
			}
		}
	}
	g.seen[w], g.reach[w] = g.epoch, best
	if by != none {
		g.events.push(event{best, by})
	}
}

// fell takes the labels of one or two trees away and stores the true duals.
func (g *engine) fell(t, s int32) {
	g.walk = g.walk[:0]
	g.settle(t)
	if s != none {
		g.settle(s)
	}
	for _, v := range g.walk {
		g.reachFree(v)
	}
}

func (g *engine) settle(t int32) {
	g.live--
	for _, b := range g.members[t] {
		if g.label[b] == free || g.up[b] != none || g.tree[b] != t {
			continue
		}
		shift := g.now
		if g.label[b] == inner {
			shift = -shift
		}
		g.label[b] = free
		for v := g.first[b]; ; v = g.next[v] {
			g.y[v] += shift
			g.walk = append(g.walk, v)
			if v == g.last[b] {
				break
			}
		}
		if int(b) >= g.n {
			g.z[b] += 2 * shift
			g.dissolve(b)
		}
	}
}
