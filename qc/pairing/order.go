package pairing

import "fmt"

// RunOrder is the order in which pairs stand along a structure. Order holds indices into the pairs
// asked about; Turned says of each, in that order, whether the whole pair stands turned end for end.
// Length is the sum of the mismatches of neighbours in nanometres, LowerBound what no order can beat.
type RunOrder struct {
	Order      []int  `json:"order" doc:"indices of the pairs as they stand"`
	Turned     []bool `json:"flips" doc:"of each pair, in that order: the whole pair stands turned end for end"`
	Length     int64  `json:"length_nm" doc:"sum of the mismatches of neighbours, nanometres"`
	LowerBound int64  `json:"lower_bound_nm" doc:"proven: no order is shorter"`
	Optimal    bool   `json:"optimal" doc:"the two are equal"`
}

// OrderPairs finds the order in which neighbouring pairs differ least. A pair is represented by the
// mean of its two ribs, standing as they match; on an open path each pair may be turned after the
// one before it, so the better way round is always to be had. Only metric, weights and ribs of the
// problem are looked at.
func OrderPairs(p Problem, pairs [][2]int, opt PathOptions) (RunOrder, error) {
	p.Objective, p.Limit, p.LotPenalty, p.Forbidden, p.Prefer = Sum, nil, 0, nil, nil
	p.Locked = nil
	if err := p.validate(); err != nil {
		return RunOrder{}, err
	}
	if err := p.validateOrder(pairs); err != nil {
		return RunOrder{}, err
	}
	c := newCosts(p.Metric, p.Weights, p.pairSums(pairs))
	n := len(pairs)
	dist := make([][]int64, n)
	for i := range dist {
		dist[i] = make([]int64, n)
		for j := range i {
			d := c.halfNanometres(c.raw(i, j))
			dist[i][j], dist[j][i] = d, d
		}
	}
	path, err := ShortestPath(dist, opt)
	if err != nil {
		return RunOrder{}, err
	}
	r := RunOrder{Order: path.Order, Length: path.Length, LowerBound: path.LowerBound, Optimal: path.Optimal, Turned: make([]bool, n)}
	for i := 1; i < n; i++ {
		r.Turned[i] = r.Turned[i-1] != c.flip(path.Order[i-1], path.Order[i])
	}
	return r, nil
}

func (p *Problem) validateOrder(pairs [][2]int) error {
	in := make(map[int]int)
	for i, q := range pairs {
		for j, r := range q {
			field := fmt.Sprintf("pairs[%d][%d]", i, j)
			if r < 0 || r >= len(p.Ribs) {
				return refuse("unknown_rib", field, "", "there is no rib %d; the ribs are 0 to %d", r, len(p.Ribs)-1)
			}
			if first, twice := in[r]; twice {
				return refuse("contradiction", field, p.Ribs[r].ID, "rib %q stands in pairs[%d] already", p.Ribs[r].ID, first)
			}
			in[r] = i
		}
	}
	return nil
}

// pairSums adds the deviations of the two ribs of each pair, the second as it stands against the
// first. Sums instead of means keep the numbers whole.
func (p *Problem) pairSums(pairs [][2]int) []Rib {
	k := len(p.Weights.Stations)
	sums := make([]Rib, len(pairs))
	for i, q := range pairs {
		a, b := p.Ribs[q[0]].Dev, p.Ribs[q[1]].Dev
		turned := newCosts(p.Metric, p.Weights, []Rib{p.Ribs[q[0]], p.Ribs[q[1]]}).flip(0, 1)
		dev := make([]int32, len(a))
		for j := range dev {
			from := j
			if turned && j >= 2+k {
				from = j - k
			} else if turned && j >= 2 {
				from = j + k
			}
			dev[j] = a[j] + b[from]
		}
		sums[i] = Rib{Dev: dev}
	}
	return sums
}

// halfNanometres is the mismatch of two means when the rows hold sums of two.
func (c *costs) halfNanometres(raw int64) int64 {
	if c.metric == Max {
		return 500 * raw
	}
	four := *c
	four.total *= 4
	return four.nanometres(raw)
}
