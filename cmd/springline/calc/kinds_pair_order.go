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
	Metric  string          `json:"metric" doc:"rms or max, as for pair.match"`
	Weights pairing.Weights `json:"weights" doc:"tip, crown, stations[]: whole numbers, not all zero"`
	Ribs    []pairing.Rib   `json:"ribs" doc:"id, lot, dev_um of each rib"`
	Pairs   [][2]int        `json:"pairs" doc:"pairs of rib indices; the first rib of a pair stands as it is, the second as it matches"`
	Seconds *float64        `json:"seconds" need:"no" doc:"time allowed beyond 16 pairs, 5 if not given"`
	Start   *int            `json:"start" need:"no" doc:"pair that must be first (index)"`
	End     *int            `json:"end" need:"no" doc:"pair that must be last (index)"`
}

func pairOrder(in pairOrderIn) (pairing.RunOrder, error) {
	metric, err := pairMetric(in.Metric)
	if err != nil {
		return pairing.RunOrder{}, err
	}
	opt, err := pathOptions(in.Seconds, in.Start, in.End)
	if err != nil {
		return pairing.RunOrder{}, err
	}
	return pairing.OrderPairs(pairing.Problem{Metric: metric, Weights: in.Weights, Ribs: in.Ribs}, in.Pairs, opt)
}

type orderPathIn struct {
	Costs   [][]int64 `json:"costs" doc:"symmetric matrix of whole numbers, none negative; the diagonal is not looked at"`
	Seconds *float64  `json:"seconds" doc:"time allowed beyond 16 nodes; null for 5"`
	Start   *int      `json:"start" need:"no" doc:"node that must be first"`
	End     *int      `json:"end" need:"no" doc:"node that must be last"`
}

func orderPath(in orderPathIn) (pairing.Path, error) {
	opt, err := pathOptions(in.Seconds, in.Start, in.End)
	if err != nil {
		return pairing.Path{}, err
	}
	return pairing.ShortestPath(in.Costs, opt)
}

func pathOptions(seconds *float64, start, end *int) (pairing.PathOptions, error) {
	allowed := given(seconds, orderSeconds)
	if !(allowed >= 0 && allowed <= maxSeconds) {
		return pairing.PathOptions{}, refuse("out_of_range", "seconds", "is %g; must be 0 to %d", allowed, maxSeconds)
	}
	until := time.Now().Add(time.Duration(allowed * float64(time.Second)))
	return pairing.PathOptions{
		Start: start, End: end,
		Steps: max(int64(allowed*stepsPerSecond), 1),
		Stop:  func() bool { return time.Now().After(until) },
	}, nil
}
