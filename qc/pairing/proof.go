package pairing

import (
	"slices"

	"springline/qc/pairing/certify"
)

// question states the problem for the proof.
func (p *Problem) question() *certify.Certificate {
	c := &certify.Certificate{Factor: 1}
	c.Metric, c.Objective = certify.RMS, certify.Sum
	if p.Metric == Max {
		c.Metric = certify.Max
	}
	if p.Objective == WorstThenSum {
		c.Objective = certify.WorstThenSum
	}
	c.Tip, c.Crown, c.Stations = p.Weights.Tip, p.Weights.Crown, p.Weights.Stations
	c.Limit, c.LotPenalty = -1, p.LotPenalty
	if p.Limit != nil {
		c.Limit = *p.Limit
	}
	c.Ribs = make([]certify.Rib, len(p.Ribs))
	for i, r := range p.Ribs {
		c.Ribs[i] = certify.Rib{ID: r.ID, Lot: r.Lot, Dev: r.Dev}
	}
	c.Forbidden, c.Locked, c.Prefer = p.Forbidden, p.Locked, p.Prefer
	return c
}

// original turns numbers of the instance into those of the problem.
func (in *instance) original(list []int32) []int {
	out := make([]int, len(list))
	for i, v := range list {
		out[i] = in.ids[v]
	}
	return out
}

// prove writes pairs and duals into a certificate.
func (in *instance) prove(c *certify.Certificate, g *engine) {
	c.Rib = make([]int64, len(c.Ribs))
	for v := range int32(in.n) {
		c.Rib[in.ids[v]] = g.y[v]
		if w := g.partner(v); w > v {
			c.Pairs = append(c.Pairs, [2]int{in.ids[v], in.ids[w]})
		}
	}
	c.Alone = g.lambda
	done := make([]bool, len(g.z))
	for v := range int32(in.n) {
		for x := g.up[v]; x != none && !done[x]; x = g.up[x] {
			done[x] = true
			if g.z[x] == 0 {
				continue
			}
			b := certify.Blossom{Dual: g.z[x]}
			for w := g.first[x]; ; w = g.next[w] {
				b.Ribs = append(b.Ribs, in.ids[w])
				if w == g.last[x] {
					break
				}
			}
			slices.Sort(b.Ribs)
			c.Blossoms = append(c.Blossoms, b)
		}
	}
}

// mates lists the partner of each rib of the instance.
func (m matching) mates() []int32 {
	list := make([]int32, m.n)
	for v := range list {
		list[v] = m.partner(int32(v))
	}
	return list
}
