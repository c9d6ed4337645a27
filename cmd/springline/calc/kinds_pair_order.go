package calc

import (
	"time"

	"springline/qc/pairing"
)

// stepsPerSecond is slow enough for a bench computer to keep the time in steps, so that the same
// question gets the same answer; the clock only ends what takes longer.
const (
	stepsPerSecond = 100_000_000
	maxSeconds     = 3600
	orderSeconds   = 5
)

type pairOrderIn struct {
	Metric  string      `json:"metric" doc:"rms or max, as for pair.match"`
	Weights pairWeights `json:"weights" doc:"tip, crown, stations[]: whole numbers, not all zero"`
	Ribs    []pairRib   `json:"ribs" doc:"id, lot, dev_um of each rib"`
	Pairs   [][2]int    `json:"pairs" doc:"pairs of rib indices; the first rib of a pair stands as it is, the second as it matches"`
	Seconds *float64    `json:"seconds" need:"no" doc:"time allowed beyond 16 pairs, 5 if not given"`
	Start   *int        `json:"start" need:"no" doc:"pair that must be first (index)"`
	End     *int        `json:"end" need:"no" doc:"pair that must be last (index)"`
}

type pairOrderOut struct {
	Order   []int  `json:"order" doc:"indices of the pairs as they stand"`
	Flips   []bool `json:"flips" doc:"of each pair, in that order: the whole pair stands turned end for end"`
	Length  int64  `json:"length_nm" doc:"sum of the mismatches of neighbours, nanometres"`
	Bound   int64  `json:"lower_bound_nm" doc:"proven: no order is shorter"`
	Optimal bool   `json:"optimal" doc:"the two are equal"`
}

func pairOrder(in pairOrderIn) (pairOrderOut, error) {
	metric, err := pairMetric(in.Metric)
	if err != nil {
		return pairOrderOut{}, err
	}
	opt, err := pathOptions(in.Seconds, in.Start, in.End)
	if err != nil {
		return pairOrderOut{}, err
	}
	r, err := pairing.OrderPairs(pairing.Problem{Metric: metric, Weights: in.Weights.weights(), Ribs: pairRibs(in.Ribs)}, in.Pairs, opt)
	if err != nil {
		return pairOrderOut{}, pairError(err)
	}
	return pairOrderOut{Order: r.Order, Flips: r.Turned, Length: r.Length, Bound: r.LowerBound, Optimal: r.Optimal}, nil
}

type orderPathIn struct {
	Costs   [][]int64 `json:"costs" doc:"symmetric matrix of whole numbers, none negative; the diagonal is not looked at"`
	Seconds *float64  `json:"seconds" doc:"time allowed beyond 16 nodes; null for 5"`
	Start   *int      `json:"start" need:"no" doc:"node that must be first"`
	End     *int      `json:"end" need:"no" doc:"node that must be last"`
}

type orderPathOut struct {
	Order   []int `json:"order" doc:"nodes in order; the end with the smaller number comes first unless an end is fixed"`
	Length  int64 `json:"length" doc:"sum of the costs between neighbours"`
	Bound   int64 `json:"lower_bound" doc:"proven: no path is shorter"`
	Optimal bool  `json:"optimal" doc:"the two are equal"`
}

func orderPath(in orderPathIn) (orderPathOut, error) {
	opt, err := pathOptions(in.Seconds, in.Start, in.End)
	if err != nil {
		return orderPathOut{}, err
	}
	p, err := pairing.ShortestPath(in.Costs, opt)
	if err != nil {
		return orderPathOut{}, pairError(err)
	}
	return orderPathOut{Order: p.Order, Length: p.Length, Bound: p.LowerBound, Optimal: p.Optimal}, nil
}

func pathOptions(seconds *float64, start, end *int) (pairing.PathOptions, error) {
	allowed := float64(orderSeconds)
	if seconds != nil {
		allowed = *seconds
	}
	if !(allowed >= 0 && allowed <= maxSeconds) {
		return pairing.PathOptions{}, Refuse("out_of_range", "seconds", "is %g; must be 0 to %d", allowed, maxSeconds)
	}
	until := time.Now().Add(time.Duration(allowed * float64(time.Second)))
	return pairing.PathOptions{
		Start: start, End: end,
		Steps: max(int64(allowed*stepsPerSecond), 1),
		Stop:  func() bool { return time.Now().After(until) },
	}, nil
}
