package pairing

// The engine finds a least-cost matching of a sparse graph in which a vertex may also stay alone at
// cost lambda, by the primal-dual blossom method (Edmonds, J. Res. NBS 69B (1965) 125-130; with
// a heap of events, as Z. Galil, S. Micali, H. Gabow do, SIAM J. Comput. 15 (1986) 120-130).
//
// Costs are doubled, so that every dual stays whole: all vertices of one tree have duals of equal
// parity, because its edges are tight and their doubled costs even, and all trees start alike.
//
// While a search runs, duals are kept lazily: a vertex whose outermost blossom is outer stores
// y - now, an inner one y + now, any other one y; a blossom stores z - 2 now and z + 2 now. Only what
// changes its label is touched.
//
// A half-edge h is an edge with a direction: ends[h] is its tail, ends[h^1] its head.
type engine struct {
	n      int
	ends   []int32
	cost   []int64 // doubled, one an edge
	adjAt  []int32
	adj    []half
	lambda int64 // doubled cost of staying alone

	y    []int64
	mate []int32 // half-edge from the vertex to its partner, or none

	// Nodes are the vertices, then the blossoms.
	outer []int32 // of a vertex: the outermost node that contains it
	up    []int32 // the blossom directly around a node, or none
	base  []int32 // the vertex of a node that is matched outside it, or not at all
	label []uint8
	link  []int32 // half-edge by which a node got its label, head inside; none for the root
	z     []int64
	kids  [][]int32 // the odd cycle of a blossom, the kid with the base first
	ties  [][]int32 // ties[i] runs from kids[i] to kids[i+1]
	first []int32   // the vertices of a node as a list
	last  []int32
	next  []int32
	spare []int32 // blossom numbers not in use

	now     int64
	events  heap
	reach   []int64 // earliest known time at which a free vertex can be reached, valid if seen is epoch
	seen    []int32
	epoch   int32
	live    int       // trees that still grow
	tree    []int32   // of a labelled node
	members [][]int32 // nodes that were labelled by a tree
	exit    []int64   // earliest known time at which a vertex of a tree may be left alone
	mark    []int32
	marked  int32
	walk    []int32
}

type half struct {
	cost int64
	to   int32
	h    int32
}

const (
	none = int32(-1)

	free  = uint8(0)
	outer = uint8(1) // at even distance from the root: duals rise
	inner = uint8(2)

	never = int64(1) << 62
)

func newEngine(n int) *engine {
	m := n + n/2 + 1
	g := &engine{n: n}
	g.y, g.reach = make([]int64, n), make([]int64, n)
	g.mate, g.outer, g.next, g.seen = make([]int32, n), make([]int32, n), make([]int32, n), make([]int32, n)
	g.up, g.base, g.link = make([]int32, m), make([]int32, m), make([]int32, m)
	g.tree = make([]int32, m)
	g.first, g.last, g.mark = make([]int32, m), make([]int32, m), make([]int32, m)
	g.label, g.z = make([]uint8, m), make([]int64, m)
	g.kids, g.ties = make([][]int32, m), make([][]int32, m)
	for v := range int32(n) {
		g.mate[v], g.outer[v], g.next[v] = none, v, none
		g.base[v], g.first[v], g.last[v] = v, v, v
	}
	for x := range int32(m) {
		g.up[x], g.link[x] = none, none
		if b := int32(m) - 1 - x; b >= int32(n) {
			g.spare = append(g.spare, b)
		}
	}
	return g
}

// addEdges appends edges; the numbers of the present ones stay.
func (g *engine) addEdges(list []edge) {
	for _, e := range list {
		g.ends = append(g.ends, e.u, e.v)
		g.cost = append(g.cost, e.cost)
	}
	g.adjAt = make([]int32, g.n+1)
	for _, v := range g.ends {
		g.adjAt[v+1]++
	}
	for v := range g.n {
		g.adjAt[v+1] += g.adjAt[v]
	}
	g.adj = make([]half, len(g.ends))
	at := append([]int32(nil), g.adjAt[:g.n]...)
	for h, v := range g.ends {
		g.adj[at[v]] = half{cost: g.cost[h>>1], to: g.ends[h^1], h: int32(h)}
		at[v]++
	}
}

// edge is a candidate pair, u < v, with its doubled cost.
type edge struct {
	u, v int32
	cost int64
}

func (g *engine) edges(v int32) []half { return g.adj[g.adjAt[v]:g.adjAt[v+1]] }

// begin sets feasible duals, each half of the cheapest edge and then raised as far as it goes, and
// matches along tight edges.
func (g *engine) begin() {
	for v := range int32(g.n) {
		least := 2 * g.lambda
		for _, a := range g.edges(v) {
			least = min(least, a.cost)
		}
		g.y[v] = least / 2
	}
	for v := range int32(g.n) {
		if g.mate[v] != none {
			continue
		}
		slack := g.lambda - g.y[v]
		with := none
		for _, a := range g.edges(v) {
			s := a.cost - g.y[v] - g.y[a.to]
			if s < slack {
				slack, with = s, none
			}
			if s == slack && with == none && g.mate[a.to] == none {
				with = a.h
			}
		}
		g.y[v] += slack
		if with != none {
			g.mate[v], g.mate[g.ends[with^1]] = with, with^1
		}
	}
}

// alone lists the unmatched vertices.
func (g *engine) alone() []int32 {
	var list []int32
	for v := range int32(g.n) {
		if g.mate[v] == none {
			list = append(list, v)
		}
	}
	return list
}

func (g *engine) partner(v int32) int32 {
	if g.mate[v] == none {
		return none
	}
	return g.ends[g.mate[v]^1]
}
