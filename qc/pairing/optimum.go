package pairing

import "fmt"

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
	list := in.candidates(nearestPerRib)
	g.addEdges(list)
	g.lambda = 2
	for _, e := range list {
		g.lambda = max(g.lambda, e.cost+2)
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
	pr := in.pricer(g)
	for {
		alone := g.alone()
		if len(alone) > known {
			if list := pr.links(alone); len(list) > 0 {
				g.repair(list)
				continue
			}
		}
		if len(alone) <= known || !complete {
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
		g.lambda *= 4
		g.run()
	}
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
