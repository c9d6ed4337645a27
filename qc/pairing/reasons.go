package pairing

import (
	"math/bits"

	"springline/qc/length"
	"springline/qc/words"
)

// reasons finds why each rib that was left over found no partner. most is the largest raw
// value within the problem's limit.
func (p *Problem) reasons(in *instance, left []int32, barrier []int32, most int64) []Left {
	list := make([]Left, 0, len(left))
	if len(left) == 0 {
		return list
	}
	var g *groups
	if len(left) > in.n%2 {
		g = in.groups(barrier, most)
	}
	for _, v := range left {
		l := Left{Rib: in.ids[v]}
		switch {
		case in.n == 1:
			l.Why = words.NoOtherRib{}
		case g != nil:
			l.Why = p.groupReason(in, g, v, most)
		default:
			if l.Why = p.lonely(in, v, most); l.Why == nil {
				l.Why = words.OddCount{}
			}
		}
		list = append(list, l)
	}
	return list
}

// lonely is why a rib may be paired with no other, nil if it may.
func (p *Problem) lonely(in *instance, v int32, most int64) words.Finding {
	near, raw := none, never
	for w := range int32(in.n) {
		if w != v && in.allowed(v, w) {
			if r := in.at(v, w); r < raw {
				near, raw = w, r
			}
		}
	}
	switch {
	case near == none:
		return words.AllForbidden{}
	case raw > most:
		return words.OverLimit{Limit: length.Length(*p.Limit), Nearest: p.Ribs[in.ids[near]].ID, By: length.Length(in.nanometres(raw))}
	}
	return nil
}

// groups are the ribs without the barrier, joined by admissible pairs.
type groups struct {
	graph   *cardinality
	barrier []bool
	group   []int32   // of a rib, none for the barrier
	members [][]int32 // of a group
}

func (in *instance) groups(barrier []int32, most int64) *groups {
	g := &groups{graph: in.admissible(most), barrier: make([]bool, in.n), group: make([]int32, in.n)}
	for _, v := range barrier {
		g.barrier[v] = true
	}
	for v := range g.group {
		g.group[v] = none
	}
	for s := range int32(in.n) {
		if g.barrier[s] || g.group[s] != none {
			continue
		}
		id := int32(len(g.members))
		list := []int32{s}
		g.group[s] = id
		for i := 0; i < len(list); i++ {
			g.neighbours(list[i], func(w int32) {
				if !g.barrier[w] && g.group[w] == none {
					g.group[w] = id
					list = append(list, w)
				}
			})
		}
		g.members = append(g.members, list)
	}
	return g
}

func (g *groups) neighbours(v int32, f func(w int32)) {
	for k, word := range g.graph.adj[v] {
		for ; word != 0; word &= word - 1 {
			f(int32(k<<6 + bits.TrailingZeros64(word)))
		}
	}
}

// contest finds the barrier ribs that a group depends on, the odd groups that depend on these, the
// barrier ribs that those depend on, and so on.
func (g *groups) contest(id int32) (wanted []int32, wanting []int32) {
	seen := make([]bool, len(g.members))
	known := make([]bool, len(g.barrier))
	seen[id] = true
	queue := []int32{id}
	for len(queue) > 0 {
		x := queue[0]
		queue = queue[1:]
		wanting = append(wanting, x)
		for _, v := range g.members[x] {
			g.neighbours(v, func(w int32) {
				if !g.barrier[w] || known[w] {
					return
				}
				known[w] = true
				wanted = append(wanted, w)
				g.neighbours(w, func(u int32) {
					if y := g.group[u]; y != none && !seen[y] && len(g.members[y])%2 == 1 {
						seen[y] = true
						queue = append(queue, y)
					}
				})
			})
		}
	}
	return wanted, wanting
}

func (p *Problem) groupReason(in *instance, g *groups, v int32, most int64) words.Finding {
	if why := p.lonely(in, v, most); why != nil {
		return why
	}
	id := g.group[v]
	if id == none { // a rib of the barrier always has a partner
		return words.OthersNeed{}
	}
	wanted, wanting := g.contest(id)
	own := p.group(in, g.members[id])
	if len(wanted) == 0 {
		return words.OddGroup{Own: own}
	}
	return words.TooManyWant{Own: own, Wanted: p.group(in, wanted), Wanting: len(wanting)}
}

// group names at most six of the ribs.
func (p *Problem) group(in *instance, list []int32) words.Group {
	g := words.Group{Count: len(list)}
	for _, v := range list[:min(len(list), 6)] {
		g.Ribs = append(g.Ribs, p.Ribs[in.ids[v]].ID)
	}
	return g
}
