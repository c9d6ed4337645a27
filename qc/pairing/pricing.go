package pairing

import (
	"cmp"
	"slices"
)

// bestPerRib is how many violated pairs a rib may gain in one pass.
const bestPerRib = 8

// pricer looks for pairs that the duals of an engine do not yet cover: pairs whose doubled price is
// less than the sum of the two duals less those of the blossoms around both.
type pricer struct {
	in    *instance
	g     *engine
	reach []int64 // of a rib: see prepare
	wide  []bool  // the rib's reach is too large to compare by
	start []int64 // of a rib: its pairs that are no candidates begin here, in the unit of reach
	need  []int64 // of a rib: what the other's reach must exceed
	order []int32 // ribs by falling reach
	above []int64 // of a node: its dual and those of all blossoms around it
	depth []int32
	found *nearest
	any   bool
}

// Reaches beyond these are not compared by, so that sums of two (and, for RMS, their squares) stay
// within 64 bits. Raw values stay below 2^59 and 2^36.
const (
	wideRoot = int64(1) << 29
	wideSpan = int64(1) << 50
)

func (in *instance) pricer(g *engine, beyond []int64) *pricer {
	p := &pricer{in: in, g: g, reach: make([]int64, in.n), wide: make([]bool, in.n), start: beyond,
		need: make([]int64, in.n), order: make([]int32, in.n), above: make([]int64, len(g.z)), depth: make([]int32, len(g.z))}
	for v := range p.order {
		p.order[v] = int32(v)
		if in.metric == RMS {
			p.start[v] = isqrt(uint64(beyond[v]))
		}
	}
	return p
}

// prepare turns duals into reaches, in the unit in which raw values (Max) or their roots (RMS) are
// measured, rounded up: a pair can be violated only if its raw value is below the sum (Max) or the
// squared sum (RMS) of the reaches of its ribs. No root is taken for the pairs that pass.
func (p *pricer) prepare() {
	in, g := p.in, p.g
	// RMS: mismatch < X needs S/W 10^6 < ceil(X)^2, so sqrt(2S) < (X+1) sqrt(2W) / 1000.
	root, shift, limit := int64(1), 0, wideSpan
	if in.metric == RMS {
		for 2*in.total<<(2*shift+2) < 1<<61 && shift < 20 {
			shift++
		}
		limit = wideRoot
		root = isqrt(uint64(2*in.total)<<(2*shift)) + 1
	}
	div := 2000 * in.factor << shift
	for v := range in.n {
		y := g.y[v] + in.factor
		p.wide[v] = abs(y) > never/root
		if !p.wide[v] {
			y *= root
			q := y / div
			if y%div > 0 {
				q++
			}
			p.reach[v] = q
			p.wide[v] = abs(q) > limit
		}
		if p.wide[v] {
			p.reach[v] = 3 * limit // beyond every raw value even when added to the least reach
			p.need[v] = -never
			continue
		}
		p.need[v] = p.start[v] - p.reach[v]
	}
	for x := len(g.z) - 1; x >= 0; x-- {
		p.depth[x] = -1
	}
	for v := range int32(in.n) {
		p.climb(v)
	}
}

// climb fills above and depth of a node and of all around it.
func (p *pricer) climb(x int32) {
	if p.depth[x] >= 0 {
		return
	}
	g := p.g
	p.above[x], p.depth[x] = 0, 0
	if int(x) >= g.n {
		p.above[x] = g.z[x]
	}
	if u := g.up[x]; u != none {
		p.climb(u)
		p.above[x] += p.above[u]
		p.depth[x] = p.depth[u] + 1
	}
}

// shared is the sum of the duals of the blossoms that contain both.
func (p *pricer) shared(u, v int32) int64 {
	g := p.g
	if g.outer[u] != g.outer[v] {
		return 0
	}
	for u != v {
		if p.depth[u] < p.depth[v] {
			u, v = v, u
		}
		u = g.up[u]
	}
	return p.above[u]
}

// excess is by how much the duals exceed the doubled price of a pair.
func (p *pricer) excess(u, v int32, raw int64) int64 {
	return p.g.y[u] + p.g.y[v] - p.shared(u, v) - 2*p.in.price(u, v, p.in.nanometres(raw))
}

func (p *pricer) look(u, v int32, raw int64) {
	if raw > p.in.most || !p.in.allowed(u, v) {
		return
	}
	if e := p.excess(u, v, raw); e > 0 {
		p.any = true
		if -e < p.found.raw[int(u)*bestPerRib] {
			p.found.offer(u, v, -e)
		}
		if -e < p.found.raw[int(v)*bestPerRib] {
			p.found.offer(v, u, -e)
		}
	}
}

// pass finds the most violated ones among all pairs, worst first. A pair that is no candidate starts
// where the candidates of either rib end, so only pairs whose reaches get there need to be computed.
func (p *pricer) pass() []edge {
	p.prepare()
	p.found, p.any = newNearest(p.in.n, bestPerRib), false
	square := p.in.metric == RMS
	slices.SortFunc(p.order, func(a, b int32) int { return cmp.Or(cmp.Compare(p.reach[b], p.reach[a]), cmp.Compare(a, b)) })
	for u := range int32(p.in.n) {
		ru, need := p.reach[u], p.need[u]
		for _, v := range p.order {
			rv := p.reach[v]
			if rv <= need {
				break // so have all that follow
			}
			if v <= u || ru <= p.need[v] {
				continue
			}
			raw := p.in.at(u, v)
			if s := ru + rv; !p.wide[u] && !p.wide[v] && (square && (s <= 0 || raw >= s*s) || !square && raw >= s) {
				continue
			}
			p.look(u, v, raw)
		}
	}
	if !p.any {
		return nil
	}
	return p.collect()
}

func (p *pricer) collect() []edge {
	type hit struct {
		key  uint64
		less int64
	}
	var hits []hit
	for i, v := range p.found.with {
		if v != none {
			hits = append(hits, hit{key(int32(i/bestPerRib), v), p.found.raw[i]})
		}
	}
	slices.SortFunc(hits, func(a, b hit) int {
		switch {
		case a.less != b.less && a.less < b.less, a.less == b.less && a.key < b.key:
			return -1
		case a == b:
			return 0
		}
		return 1
	})
	hits = slices.Compact(hits)
	list := make([]edge, len(hits))
	for i, h := range hits {
		u, v := int32(h.key>>32), int32(uint32(h.key))
		list[i] = p.in.edge(u, v, p.in.at(u, v))
	}
	return list
}

// links finds violated pairs among a few ribs only.
func (p *pricer) links(list []int32) []edge {
	if len(list) > 300 {
		list = list[:300]
	}
	p.prepare()
	p.found, p.any = newNearest(p.in.n, bestPerRib), false
	for i, u := range list {
		for _, v := range list[i+1:] {
			p.look(u, v, p.in.at(u, v))
		}
	}
	return p.collect()
}
