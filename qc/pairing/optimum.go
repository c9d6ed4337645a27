package pairing

import (
	"fmt"
	"slices"
)

// nearestPerRib is how many candidate pairs a rib starts with.
const nearestPerRib = 16

// matching is an optimal matching of an instance with its duals, and the barrier that shows that no
// more ribs can be paired (nil where the parity of the number of ribs shows it).
type matching struct {
	*engine
	barrier []int32
}

// optimum solves an instance: on candidate pairs first, then pricing all pairs against the duals and
// repairing until none is violated (W. Cook, A. Rohe, INFORMS J. Comput. 11 (1999) 138-148). Leaving a
// rib alone costs a price that is raised until as many are paired as can be; least is the number
// known to be left over by the largest matching, or -1.
func (in *instance) optimum(least int) (matching, error) {
	g := newEngine(in.n)
	m := matching{engine: g}
	list, beyond := in.candidates(nearestPerRib)
	g.addEdges(list)
	g.lambda = startPrice(in.n, list)
	var dearest int64
	for _, e := range list {
		dearest = max(dearest, e.cost)
	}
	known := least
	if least < 0 {
		known = in.n % 2
	}
	complete := len(in.banned) == 0 && in.most >= in.rawAtMost(maxCost)
	// Beyond this price a rib is left alone only if it must be.
	enough := 2 * (int64(in.n/2) + 1) * in.costBound()
	g.begin()
	g.run()
	pr := in.pricer(g, beyond)
	for {
		alone := g.alone()
		if len(alone) > known {
			if list := pr.links(alone); len(list) > 0 {
				g.repair(list)
				continue
			}
		}
		if len(alone) <= known || !complete && g.lambda > dearest {
			if list := pr.pass(); len(list) > 0 {
				g.repair(list)
				continue
			}
			if len(alone) <= known {
				return m, nil
			}
			if least < 0 {
				c := in.admissible(in.most)
				for v := range int32(in.n) {
					c.mate[v] = g.partner(v)
				}
				if c.grow(len(alone)-1) == len(alone) {
					m.barrier = c.barrier()
					return m, nil
				}
			}
		}
		if g.lambda > enough {
			panic("pairing: the price of staying alone exceeds all costs and more ribs could be paired")
		}
		if g.lambda > (never/16)/int64(in.n+1) {
			return m, fmt.Errorf("pair ribs: the costs of %d ribs are too large to compute with", in.n)
		}
		// A low price keeps trees small: most ribs that nobody misses are found before trees must grow to
		// them from afar.
		if g.lambda < 2*dearest {
			g.lambda += g.lambda/8*2 + 2
		} else {
			g.lambda *= 4
		}
		g.run()
	}
}

// startPrice is the doubled cost of the nearest neighbour that the middle rib has.
func startPrice(n int, list []edge) int64 {
	least := make([]int64, n)
	for v := range least {
		least[v] = never
	}
	for _, e := range list {
		least[e.u], least[e.v] = min(least[e.u], e.cost), min(least[e.v], e.cost)
	}
	slices.Sort(least)
	for i := n / 2; i >= 0 && i < n; i-- {
		if least[i] < never {
			return least[i]/2*2 + 2
		}
	}
	return 2
}

// admissible is the graph of allowed pairs up to a raw value.
func (in *instance) admissible(most int64) *cardinality {
	c := newCardinality(in.n)
	in.eachRow(func(u int, row []int64) {
		for i, raw := range row {
			if raw <= most && in.allowed(int32(u), int32(u+1+i)) {
				c.join(int32(u), int32(u+1+i))
			}
		}
	})
	return c
}
