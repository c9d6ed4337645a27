package pairing

// dense finds a matching of greatest total weight in a complete graph by the primal-dual blossom
// algorithm in O(n^3) time (Edmonds 1965; the bookkeeping follows Galil, ACM Comput. Surv. 18 (1986)
// 23-38). Weight 0 means no edge. It shares nothing with the sparse engine.
type dense struct {
	n, nx      int
	w          [][]int64
	eu, ev     [][]int32 // the real edge that stands behind an edge between blossoms
	lab        []int64
	match      []int32
	slack      []int32
	st, pa     []int32
	from       [][]int32
	side, vis  []int32
	children   [][]int32
	queue      []int32
	visitStamp int32
}

func denseMatch(w [][]int64) []int {
	n := len(w)
	m := 2*n + 1
	d := &dense{n: n, nx: n, lab: make([]int64, m), match: make([]int32, m), slack: make([]int32, m),
		st: make([]int32, m), pa: make([]int32, m), side: make([]int32, m), vis: make([]int32, m), children: make([][]int32, m)}
	for range m {
		d.w = append(d.w, make([]int64, m))
		d.eu = append(d.eu, make([]int32, m))
		d.ev = append(d.ev, make([]int32, m))
		d.from = append(d.from, make([]int32, n+1))
	}
	var most int64
	for u := 1; u <= n; u++ {
		d.st[u] = int32(u)
		for v := 1; v <= n; v++ {
			d.eu[u][v], d.ev[u][v] = int32(u), int32(v)
			d.w[u][v] = w[u-1][v-1]
			most = max(most, d.w[u][v])
			if u == v {
				d.from[u][v] = int32(u)
			}
		}
	}
	for u := 1; u <= n; u++ {
		d.lab[u] = most
	}
	for d.phase() {
	}
	out := make([]int, n)
	for u := 1; u <= n; u++ {
		out[u-1] = int(d.match[u]) - 1
	}
	return out
}

func (d *dense) delta(u, v int32) int64 {
	a, b := d.eu[u][v], d.ev[u][v]
	return d.lab[a] + d.lab[b] - d.w[a][b]*2
}

func (d *dense) updateSlack(u, x int32) {
	if d.slack[x] == 0 || d.delta(u, x) < d.delta(d.slack[x], x) {
		d.slack[x] = u
	}
}

func (d *dense) setSlack(x int32) {
	d.slack[x] = 0
	for u := int32(1); u <= int32(d.n); u++ {
		if d.w[u][x] > 0 && d.st[u] != x && d.side[d.st[u]] == 0 {
			d.updateSlack(u, x)
		}
	}
}

func (d *dense) push(x int32) {
	if int(x) <= d.n {
		d.queue = append(d.queue, x)
		return
	}
	for _, c := range d.children[x] {
		d.push(c)
	}
}

func (d *dense) setSt(x, b int32) {
	d.st[x] = b
	if int(x) > d.n {
		for _, c := range d.children[x] {
			d.setSt(c, b)
		}
	}
}

func (d *dense) pathTo(b, xr int32) int {
	pr := 0
	for d.children[b][pr] != xr {
		pr++
	}
	if pr%2 == 1 {
		c := d.children[b][1:]
		for i, j := 0, len(c)-1; i < j; i, j = i+1, j-1 {
			c[i], c[j] = c[j], c[i]
		}
		return len(d.children[b]) - pr
	}
	return pr
}

func (d *dense) setMatch(u, v int32) {
	d.match[u] = d.ev[u][v]
	if int(u) <= d.n {
		return
	}
	xr := d.from[u][d.eu[u][v]]
	pr := d.pathTo(u, xr)
	for i := range pr {
		d.setMatch(d.children[u][i], d.children[u][i^1])
	}
	d.setMatch(xr, v)
	c := d.children[u]
	d.children[u] = append(append([]int32(nil), c[pr:]...), c[:pr]...)
}

func (d *dense) augment(u, v int32) {
	for {
		xnv := d.st[d.match[u]]
		d.setMatch(u, v)
		if xnv == 0 {
			return
		}
		d.setMatch(xnv, d.st[d.pa[xnv]])
		u, v = d.st[d.pa[xnv]], xnv
	}
}

func (d *dense) lca(u, v int32) int32 {
	d.visitStamp++
	for u != 0 || v != 0 {
		if u != 0 {
			if d.vis[u] == d.visitStamp {
				return u
			}
			d.vis[u] = d.visitStamp
			u = d.st[d.match[u]]
			if u != 0 {
				u = d.st[d.pa[u]]
			}
		}
		u, v = v, u
	}
	return 0
}

func (d *dense) addBlossom(u, lca, v int32) {
	b := int32(d.n + 1)
	for int(b) <= d.nx && d.st[b] != 0 {
		b++
	}
	if int(b) > d.nx {
		d.nx++
	}
	d.lab[b], d.side[b] = 0, 0
	d.match[b] = d.match[lca]
	kids := []int32{lca}
	for x := u; x != lca; {
		y := d.st[d.match[x]]
		kids = append(kids, x, y)
		d.push(y)
		x = d.st[d.pa[y]]
	}
	c := kids[1:]
	for i, j := 0, len(c)-1; i < j; i, j = i+1, j-1 {
		c[i], c[j] = c[j], c[i]
	}
	for x := v; x != lca; {
		y := d.st[d.match[x]]
		kids = append(kids, x, y)
		d.push(y)
		x = d.st[d.pa[y]]
	}
	d.children[b] = kids
	d.setSt(b, b)
	for x := 1; x <= d.nx; x++ {
		d.w[b][x], d.w[x][b] = 0, 0
	}
	for x := 1; x <= d.n; x++ {
		d.from[b][x] = 0
	}
	for _, xs := range kids {
		for x := int32(1); int(x) <= d.nx; x++ {
			if d.w[b][x] == 0 || d.delta(xs, x) < d.delta(b, x) {
				d.eu[b][x], d.ev[b][x], d.w[b][x] = d.eu[xs][x], d.ev[xs][x], d.w[xs][x]
				d.eu[x][b], d.ev[x][b], d.w[x][b] = d.eu[x][xs], d.ev[x][xs], d.w[x][xs]
			}
		}
		for x := 1; x <= d.n; x++ {
			if d.from[xs][x] != 0 {
				d.from[b][x] = xs
			}
		}
	}
	d.setSlack(b)
}

func (d *dense) expand(b int32) {
	for _, c := range d.children[b] {
		d.setSt(c, c)
	}
	xr := d.from[b][d.eu[b][d.pa[b]]]
	pr := d.pathTo(b, xr)
	kids := d.children[b]
	for i := 0; i < pr; i += 2 {
		xs, xns := kids[i], kids[i+1]
		d.pa[xs] = d.eu[xns][xs]
		d.side[xs], d.side[xns] = 1, 0
		d.slack[xs] = 0
		d.setSlack(xns)
		d.push(xns)
	}
	d.side[xr], d.pa[xr] = 1, d.pa[b]
	for _, xs := range kids[pr+1:] {
		d.side[xs] = -1
		d.setSlack(xs)
	}
	d.st[b] = 0
}

func (d *dense) found(u0, v0 int32) bool {
	a, b := d.eu[u0][v0], d.ev[u0][v0]
	u, v := d.st[a], d.st[b]
	switch d.side[v] {
	case -1:
		d.pa[v], d.side[v] = a, 1
		nu := d.st[d.match[v]]
		d.slack[v], d.slack[nu] = 0, 0
		d.side[nu] = 0
		d.push(nu)
	case 0:
		l := d.lca(u, v)
		if l == 0 {
			d.augment(u, v)
			d.augment(v, u)
			return true
		}
		d.addBlossom(u, l, v)
	}
	return false
}

func (d *dense) phase() bool {
	for x := range d.side {
		d.side[x], d.slack[x] = -1, 0
	}
	d.queue = d.queue[:0]
	for x := int32(1); int(x) <= d.nx; x++ {
		if d.st[x] == x && d.match[x] == 0 {
			d.pa[x], d.side[x] = 0, 0
			d.push(x)
		}
	}
	if len(d.queue) == 0 {
		return false
	}
	for {
		for len(d.queue) > 0 {
			u := d.queue[0]
			d.queue = d.queue[1:]
			if d.side[d.st[u]] == 1 {
				continue
			}
			for v := int32(1); int(v) <= d.n; v++ {
				if d.w[u][v] > 0 && d.st[u] != d.st[v] {
					if d.delta(u, v) == 0 {
						if d.found(u, v) {
							return true
						}
					} else {
						d.updateSlack(u, d.st[v])
					}
				}
			}
		}
		step := int64(1) << 62
		for b := d.n + 1; b <= d.nx; b++ {
			if d.st[b] == int32(b) && d.side[b] == 1 {
				step = min(step, d.lab[b]/2)
			}
		}
		for x := int32(1); int(x) <= d.nx; x++ {
			if d.st[x] == x && d.slack[x] != 0 {
				switch d.side[x] {
				case -1:
					step = min(step, d.delta(d.slack[x], x))
				case 0:
					step = min(step, d.delta(d.slack[x], x)/2)
				}
			}
		}
		for u := 1; u <= d.n; u++ {
			switch d.side[d.st[u]] {
			case 0:
				if d.lab[u] <= step {
					return false
				}
				d.lab[u] -= step
			case 1:
				d.lab[u] += step
			}
		}
		for b := d.n + 1; b <= d.nx; b++ {
			if d.st[b] == int32(b) {
				switch d.side[b] {
				case 0:
					d.lab[b] += step * 2
				case 1:
					d.lab[b] -= step * 2
				}
			}
		}
		d.queue = d.queue[:0]
		for x := int32(1); int(x) <= d.nx; x++ {
			if s := d.slack[x]; d.st[x] == x && s != 0 && d.st[s] != x && d.delta(s, x) == 0 {
				if d.found(s, x) {
					return true
				}
			}
		}
		for b := int32(d.n + 1); int(b) <= d.nx; b++ {
			if d.st[b] == b && d.side[b] == 1 && d.lab[b] == 0 {
				d.expand(b)
			}
		}
	}
}
