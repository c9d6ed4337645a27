package pairing

import (
	"fmt"
	"math/bits"
	"strconv"
	"strings"
)

// reasons says in words why each rib that was left over found no partner. most is the largest raw
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
			l.Reason = "there is no other rib to pair it with"
		case g != nil:
			l.Reason = p.groupReason(in, g, v, most)
		default:
			if l.Reason = p.lonely(in, v, most); l.Reason == "" {
				l.Reason = "the number of ribs is odd; of all that could be left over, leaving this one is best"
			}
		}
		list = append(list, l)
	}
	return list
}

// lonely says why a rib may be paired with no other, or nothing if it may.
func (p *Problem) lonely(in *instance, v int32, most int64) string {
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
		return "every pair with it is forbidden"
	case raw > most:
		return fmt.Sprintf("no rib that it may be paired with is within the limit of %s; the nearest is %q with %s",
			millimetres(*p.Limit), p.Ribs[in.ids[near]].ID, millimetres(in.nanometres(raw)))
	}
	return ""
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

func (p *Problem) groupReason(in *instance, g *groups, v int32, most int64) string {
	if why := p.lonely(in, v, most); why != "" {
		return why
	}
	id := g.group[v]
	if id == none { // a rib of the barrier always has a partner
		return "the ribs that it may be paired with are needed by others"
	}
	wanted, wanting := g.contest(id)
	own := g.members[id]
	switch {
	case len(wanted) == 0:
		return fmt.Sprintf("it may only be paired within a group of %d ribs (%s), an odd number; of these, leaving this one is best",
			len(own), p.names(in, own))
	case len(own) == 1:
		return fmt.Sprintf("%s (%s) %s wanted by %d single ribs or odd groups that have no other partners; more want a partner than there are",
			count(len(wanted), "rib"), p.names(in, wanted), isAre(len(wanted)), len(wanting))
	}
	return fmt.Sprintf("it belongs to an odd group of %d ribs (%s); %s (%s) %s wanted by %d single ribs or odd groups that have no other partners; more want a partner than there are",
		len(own), p.names(in, own), count(len(wanted), "rib"), p.names(in, wanted), isAre(len(wanted)), len(wanting))
}

func count(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return strconv.Itoa(n) + " " + what + "s"
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// names lists ribs by id, at most six of them.
func (p *Problem) names(in *instance, list []int32) string {
	const most = 6
	var words []string
	for i, v := range list {
		if i == most {
			words = append(words, fmt.Sprintf("and %d more", len(list)-most))
			break
		}
		words = append(words, strconv.Quote(p.Ribs[in.ids[v]].ID))
	}
	return strings.Join(words, ", ")
}

// millimetres prints nanometres exactly.
func millimetres(nm int64) string {
	s := fmt.Sprintf("%d.%06d", nm/1_000_000, nm%1_000_000)
	s = strings.TrimRight(s, "0")
	return strings.TrimSuffix(s, ".") + " mm"
}
