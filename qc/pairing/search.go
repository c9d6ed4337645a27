package pairing

// search grows an alternating tree from an unmatched vertex until it can be matched, or until some
// vertex of the tree is better left alone.
func (g *engine) search(root int32) {
	g.now, g.until, g.goal = 0, never, none
	g.events = g.events[:0]
	g.epoch++
	g.touched = g.touched[:0]
	b := g.outer[root]
	g.setOuter(b, none, 0)
	g.scan(b)
	for len(g.events) > 0 && g.events[0].at < g.until {
		e := g.events.pop()
		g.now = e.at
		if e.what < 0 {
			b := ^e.what
			if g.label[b] == inner && g.up[b] == none && g.z[b] == 2*g.now {
				g.expand(b)
			}
			continue
		}
		g.tight(e.what)
	}
	g.now = g.until
	if g.goal < 0 {
		g.augmentFrom(^g.goal, none)
	} else {
		u, w := g.ends[g.goal], g.ends[g.goal^1]
		g.augmentFrom(u, g.goal)
		g.rebase(g.outer[w], w)
		g.mate[w] = g.goal ^ 1
	}
	g.settle()
}

// tight handles a half-edge whose tail is outer and whose slack should be zero now; if it is not,
// its head changed its label meanwhile and a later event stands for it.
func (g *engine) tight(h int32) {
	u, w := g.ends[h], g.ends[h^1]
	bu, bw := g.outer[u], g.outer[w]
	if bu == bw {
		return
	}
	switch g.label[bw] {
	case free:
		if g.cost[h>>1]-g.y[u]-g.now-g.y[w] == 0 {
			g.setInner(bw, h, g.now)
			m := g.mate[g.base[bw]]
			b := g.outer[g.ends[m^1]]
			g.setOuter(b, m, -g.now)
			g.scan(b)
		}
	case outer:
		if g.cost[h>>1]-g.y[u]-g.y[w]-2*g.now == 0 {
			g.shrink(h)
		}
	}
}

// setOuter labels a node outer; shift turns the duals of its vertices into stored ones.
func (g *engine) setOuter(b, link int32, shift int64) {
	g.label[b], g.link[b] = outer, link
	g.touched = append(g.touched, b)
	if int(b) >= g.n {
		g.z[b] -= 2 * g.now
	}
	for v := g.first[b]; ; v = g.next[v] {
		g.y[v] += shift
		if t := g.lambda - g.y[v]; t < g.until {
			g.until, g.goal = t, ^v
		}
		if v == g.last[b] {
			return
		}
	}
}

func (g *engine) setInner(b, link int32, shift int64) {
	g.label[b], g.link[b] = inner, link
	g.touched = append(g.touched, b)
	if int(b) >= g.n {
		t := g.now + g.z[b]/2
		g.z[b] += 2 * g.now
		if t < g.until {
			g.events.push(event{t, ^b})
		}
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
			if t > g.until || t == g.until && g.goal >= 0 {
				continue
			}
			if g.mate[g.base[bw]] == none {
				g.until, g.goal = t, a.h
			} else if t < g.until && (g.seen[w] != g.epoch || t < g.reach[w]) {
				g.seen[w], g.reach[w] = g.epoch, t
				g.events.push(event{t, a.h})
			}
		case outer:
			s := a.cost - y - g.y[w] // twice the time
			if s&1 != 0 {
				panic("pairing: two outer duals of unequal parity")
			}
			if s/2 < g.until {
				g.events.push(event{s / 2, a.h})
			}
		}
	}
}

// reachFree finds when a vertex that was freed from an expanded blossom can be reached again.
func (g *engine) reachFree(w int32) {
	best, by := g.until, none
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

// settle takes the labels away and stores the true duals.
func (g *engine) settle() {
	for _, b := range g.touched {
		if g.label[b] == free || g.up[b] != none {
			continue
		}
		shift := g.now
		if g.label[b] == inner {
			shift = -shift
		}
		g.label[b] = free
		for v := g.first[b]; ; v = g.next[v] {
			g.y[v] += shift
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
