package stats

import (
	"math"
	"slices"
)

// Change is the likeliest place where the mean of a series shifted.
type Change struct {
	After        int     `json:"after" doc:"last point before the change, 1-based"`
	MeanBefore   float64 `json:"mean_before" doc:"unit of x"`
	MeanAfter    float64 `json:"mean_after" doc:"unit of x"`
	SumRange     float64 `json:"sum_range" doc:"greatest less least cumulative sum, unit of x"`
	PettittK     float64 `json:"pettitt_k" doc:"Pettitt's rank statistic"`
	PettittP     float64 `json:"pettitt_p" doc:"its approximate probability without a change"` // 2 exp(-6 K^2 / (n^3 + n^2)), at most 1
	PettittAfter int     `json:"-"`                                                            // where Pettitt's statistic is greatest
}

// ChangePoint locates a shift by the cumulative sum of deviations from the mean, S_i = S_{i-1} + x_i - mean,
// at its farthest from zero (Taylor 2000, Change-Point Analysis), and tests it by ranks (Pettitt 1979,
// Applied Statistics 28, 126-135). A trend also gives a change point: look at both tests.
func ChangePoint(x []float64) (Change, error) {
	if err := checkData("x", x, 3); err != nil {
		return Change{}, err
	}
	m := mean(x)
	c := Change{}
	var s compensated
	best, lo, hi := 0.0, 0.0, 0.0
	for i, v := range x[:len(x)-1] {
		s.add(v - m)
		at := s.value()
		lo, hi = math.Min(lo, at), math.Max(hi, at)
		if math.Abs(at) > best {
			best, c.After = math.Abs(at), i+1
		}
	}
	if c.After == 0 {
		return Change{}, refuse(NoSpread, "x", "all values are equal; nothing changed")
	}
	c.SumRange = hi - lo
	c.MeanBefore, c.MeanAfter = mean(x[:c.After]), mean(x[c.After:])
	c.pettitt(x)
	return c, nil
}

// pettitt computes U_t = 2 (sum of the first t ranks) - t (n + 1), ties at their middle rank.
func (c *Change) pettitt(x []float64) {
	n := float64(len(x))
	sum := 0.0
	for i, r := range midRanks(x)[:len(x)-1] {
		sum += r
		if u := math.Abs(2*sum - float64(i+1)*(n+1)); u > c.PettittK {
			c.PettittK, c.PettittAfter = u, i+1
		}
	}
	c.PettittP = math.Min(1, 2*math.Exp(-6*c.PettittK*c.PettittK/(n*n*n+n*n)))
}

func midRanks(x []float64) []float64 {
	order := make([]int, len(x))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return sign(x[a] - x[b]) })
	ranks := make([]float64, len(x))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && x[order[j]] == x[order[i]] {
			j++
		}
		for _, at := range order[i:j] {
			ranks[at] = float64(i+j+1) / 2
		}
		i = j
	}
	return ranks
}
