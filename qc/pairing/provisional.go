package pairing

import (
	"cmp"
	"slices"

	"springline/qc/length"
	"springline/qc/words"
)

// Regret is what locking a pair now would cost: the best pairing with the pair against the best without that
// demand. Pairs is how many pairs fewer there would be; Worst and Sum are by how much the largest
// mismatch and the sum of costs would grow, in nanometres (they may fall where Pairs is not 0, and
// Worst may fall where the objective is Sum).
type Regret struct {
	Pair       Pair
	Pairs      int
	Worst, Sum int64
}

// RegretAgainst computes what it costs to lock two ribs together, beyond the best pairing, by solving with the
// pair locked. The error is an *InputError if the pair may not be formed.
func (p Problem) RegretAgainst(best Result, a, b int) (Regret, error) {
	forced := p
	forced.Locked = append(slices.Clone(p.Locked), [2]int{a, b})
	if err := forced.validate(); err != nil {
		return Regret{}, err
	}
	pair := forced.lockedPair(pairKey(a, b))
	if p.Limit != nil && pair.Mismatch > *p.Limit {
		return Regret{}, refuse("beyond_limit", "locked", p.Ribs[a].ID, "ribs %q and %q differ by %s, beyond the limit of %s",
			p.Ribs[a].ID, p.Ribs[b].ID, words.Exact(length.Length(pair.Mismatch)), words.Exact(length.Length(*p.Limit)))
	}
	r, err := Solve(forced)
	if err != nil {
		return Regret{}, err
	}
	return Regret{
		Pair:  pair,
		Pairs: best.Count - r.Count - 1,
		Worst: max(r.Worst, pair.Mismatch) - best.Worst,
		Sum:   r.Sum + pair.Cost - best.Sum,
	}, nil
}

// Partners lists the pairs that a rib may form with the free ones, cheapest first, equals by index:
// to find a match for a rib that stands already, or for one that was just measured.
func Partners(p Problem, rib int) ([]Pair, error) {
	if err := p.validate(); err != nil {
		return nil, err
	}
	if rib < 0 || rib >= len(p.Ribs) {
		return nil, refuse("unknown_rib", "rib", "", "there is no rib %d; the ribs are 0 to %d", rib, len(p.Ribs)-1)
	}
	away := make([]bool, len(p.Ribs))
	for _, q := range p.Locked {
		away[q[0]], away[q[1]] = true, true
	}
	for _, q := range p.Forbidden {
		for i, r := range q {
			if r == rib {
				away[q[1-i]] = true
			}
		}
	}
	away[rib] = true
	c := newCosts(p.Metric, p.Weights, p.Ribs)
	var list []Pair
	for r := range p.Ribs {
		if away[r] {
			continue
		}
		k := pairKey(rib, r)
		if q := p.describe(c, k, k[0], k[1]); p.Limit == nil || q.Mismatch <= *p.Limit {
			list = append(list, q)
		}
	}
	slices.SortStableFunc(list, func(x, y Pair) int { return cmp.Compare(x.Cost, y.Cost) })
	return list, nil
}

// Tight is the cost that the given percentage of a pairing's free pairs keep within: a threshold below
// which a pair may be good enough to lock at once. Start at 10 per cent; early pairings are looser than
// the last one will be. It is -1 without pairs.
func (r Result) Tight(percent int) int64 {
	var costs []int64
	for _, q := range r.Pairs {
		if !q.Locked {
			costs = append(costs, q.Cost)
		}
	}
	if len(costs) == 0 {
		return -1
	}
	slices.Sort(costs)
	at := (len(costs)*percent + 99) / 100
	return costs[max(0, min(at, len(costs))-1)]
}
