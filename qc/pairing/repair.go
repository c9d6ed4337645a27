package pairing

// repair adds violated edges to a solved engine, makes the duals feasible again by lowering them at
// one end of each, and searches anew from what this left unmatched. Lowering a vertex inside
// blossoms first opens them: half a blossom's dual is taken from each of its vertices, which keeps
// every slack inside it and only raises those outside.
func (g *engine) repair(list []edge) {
	g.addEdges(list)
	for _, e := range list {
		if e.cost >= g.y[e.u]+g.y[e.v]-g.shared(e.u, e.v) {
			continue
		}
		v := e.u
		if g.mate[e.u] != none && g.mate[e.v] == none {
			v = e.v
		}
		g.isolate(v)
		if over := g.y[e.u] + g.y[e.v] - g.shared(e.u, e.v) - e.cost; over > 0 {
			g.y[v] -= over
		}
	}
	g.run()
}

// isolate takes a vertex out of its pair and of all blossoms.
func (g *engine) isolate(v int32) {
	b := g.outer[v]
	if m := g.mate[g.base[b]]; m != none {
		g.mate[g.ends[m]], g.mate[g.ends[m^1]] = none, none
	}
	g.rebase(b, v)
	g.mate[v] = none
	for int(g.outer[v]) >= g.n {
		b = g.outer[v]
		for w := g.first[b]; ; w = g.next[w] {
			g.y[w] -= g.z[b] / 2
			if w == g.last[b] {
				break
			}
		}
		g.z[b] = 0
		g.release(b)
	}
}

// shared is the sum of the duals of the blossoms that contain both vertices.
func (g *engine) shared(u, v int32) int64 {
	if g.outer[u] != g.outer[v] {
		return 0
	}
	g.marked++
	for x := g.up[u]; x != none; x = g.up[x] {
		g.mark[x] = g.marked
	}
	x := g.up[v]
	for x != none && g.mark[x] != g.marked {
		x = g.up[x]
	}
	var sum int64
	for ; x != none; x = g.up[x] {
		sum += g.z[x]
	}
	return sum
}
