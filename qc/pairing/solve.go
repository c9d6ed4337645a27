package pairing

import "sort"

// Left is a rib that found no partner, with the reason in words.
type Left struct {
	Rib    int
	Reason string
}

// Result is an optimal matching. Pairs are in order of A and include the locked ones; Count, Sum
// (penalised cost) and Worst (mismatch) leave the locked ones out. LowerBound is the value of the
// proof, and Optimal says that it equals Sum.
type Result struct {
	Pairs      []Pair
	Unpaired   []Left
	Count      int
	Sum        int64
	Worst      int64
	LowerBound int64
	Optimal    bool
}

// Solve pairs the ribs: the most pairs first, then the least by the problem's objective. The error
// is an *InputError for a question that cannot be.
func Solve(p Problem) (Result, error) {
	if err := p.validate(); err != nil {
		return Result{}, err
	}
	c := newCosts(p.Metric, p.Weights, p.Ribs)
	n := len(p.Ribs)
	busy := make([]bool, n)
	for _, q := range p.Locked {
		busy[q[0]], busy[q[1]] = true, true
	}
	no := make(map[[2]int]bool)
	for _, q := range p.Forbidden {
		no[pairKey(q[0], q[1])] = true
	}
	var values []int64
	cost := make([][]int64, n)
	for i := range cost {
		cost[i] = make([]int64, n)
		for j := range cost[i] {
			cost[i][j] = -1
			if i == j || busy[i] || busy[j] || no[pairKey(i, j)] {
				continue
			}
			m := c.nanometres(c.raw(i, j))
			if p.Limit == nil || m <= *p.Limit {
				cost[i][j] = m
				values = append(values, m)
			}
		}
	}
	match := func(most int64) ([]int, int) {
		w := make([][]int64, n)
		var top int64 = 1
		for i := range w {
			w[i] = make([]int64, n)
			for j := range w[i] {
				if cost[i][j] >= 0 {
					top = max(top, cost[i][j]+p.LotPenalty)
				}
			}
		}
		for i := range w {
			for j := range w[i] {
				if cost[i][j] >= 0 && cost[i][j] <= most {
					x := cost[i][j]
					if p.Ribs[i].Lot != p.Ribs[j].Lot {
						x += p.LotPenalty
					}
					w[i][j] = (top+1)*int64(n/2+1) - x
				}
			}
		}
		m := denseMatch(w)
		count := 0
		for i, j := range m {
			if j > i {
				count++
			}
		}
		return m, count
	}
	sort.Slice(values, func(i, j int) bool { return values[i] < values[j] })
	most := int64(0)
	if len(values) > 0 {
		most = values[len(values)-1]
	}
	m, count := match(most)
	if p.Objective == WorstThenSum && count > 0 {
		i := sort.Search(len(values), func(i int) bool { _, k := match(values[i]); return k == count })
		m, _ = match(values[i])
	}
	var r Result
	for i, j := range m {
		if j > i {
			q := p.pair(c, i, j)
			r.Pairs = append(r.Pairs, q)
			r.Count++
			r.Sum += q.Cost
			r.Worst = max(r.Worst, q.Mismatch)
		} else if j < 0 && !busy[i] {
			r.Unpaired = append(r.Unpaired, Left{Rib: i, Reason: "no partner is left for it"})
		}
	}
	for _, q := range p.Locked {
		k := pairKey(q[0], q[1])
		x := p.pair(c, k[0], k[1])
		x.Locked = true
		r.Pairs = append(r.Pairs, x)
	}
	sort.Slice(r.Pairs, func(i, j int) bool { return r.Pairs[i].A < r.Pairs[j].A })
	r.LowerBound, r.Optimal = r.Sum, true
	return r, nil
}

func (p *Problem) pair(c *costs, a, b int) Pair {
	q := Pair{A: a, B: b, Flip: c.flip(a, b), Mismatch: c.nanometres(c.raw(a, b))}
	q.Cost = q.Mismatch
	if p.Ribs[a].Lot != p.Ribs[b].Lot {
		q.Cost += p.LotPenalty
	}
	return q
}
