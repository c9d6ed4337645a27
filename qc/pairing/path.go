package pairing

import (
	"fmt"
	"math"
)

// PathOptions limits the search for a path and may fix its ends.
type PathOptions struct {
	// Start and End are the first and last node if not nil.
	Start, End *int
	// Steps is the work allowed, in elementary steps of a few nanoseconds; 0 means 500 million. The same
	// steps give the same answer.
	Steps int64
	// Seed chooses the random kicks of the search.
	Seed uint64
	// Stop, if not nil, is asked now and then and ends the search early when it says so.
	Stop func() bool
}

// Path is an open path through all nodes. LowerBound is proven: no path is shorter. Optimal says that
// it equals Length. Of the two directions the one with the smaller first node is given, unless an end
// is fixed.
type Path struct {
	Order      []int `json:"order" doc:"nodes in order; the end with the smaller number comes first unless an end is fixed"`
	Length     int64 `json:"length" doc:"sum of the costs between neighbours"`
	LowerBound int64 `json:"lower_bound" doc:"proven: no path is shorter"`
	Optimal    bool  `json:"optimal" doc:"the two are equal"`
}

// Bounds on a path question.
const (
	maxNodes     = 3_000
	exactNodes   = 16
	branchNodes  = 250
	maxStep      = int64(1) << 40
	defaultSteps = int64(500_000_000)
)

// ShortestPath finds a short open path through all nodes of a symmetric cost matrix: the shortest,
// proven, up to 16 nodes and mostly up to 100, at times up to 250; above that the best found within the steps allowed, with a
// proven lower bound (M. Held, R. M. Karp, Oper. Res. 18 (1970) 1138-1162). The diagonal is not
// looked at. The error is an *InputError.
func ShortestPath(costs [][]int64, opt PathOptions) (Path, error) {
	if err := validatePath(costs, opt); err != nil {
		return Path{}, err
	}
	n := len(costs)
	if n == 0 {
		return Path{Order: []int{}, Optimal: true}, nil
	}
	work := &budget{left: opt.Steps, stop: opt.Stop}
	if work.left <= 0 {
		work.left = defaultSteps
	}
	var p Path
	if n <= exactNodes {
		p = subsetPath(costs, opt)
	} else {
		p = searchPath(newTour(costs, opt), opt.Seed, work)
	}
	if opt.Start == nil && opt.End == nil && p.Order[0] > p.Order[n-1] {
		reverse(p.Order)
	}
	p.Optimal = p.LowerBound == p.Length
	return p, nil
}

func reverse[T any](s []T) {
	for i, j := 0, len(s)-1; i < j; i, j = i+1, j-1 {
		s[i], s[j] = s[j], s[i]
	}
}

func validatePath(costs [][]int64, opt PathOptions) error {
	n := len(costs)
	if n > maxNodes {
		return refuse("out_of_range", "costs", "", "has %d rows; the most is %d", n, maxNodes)
	}
	for i, row := range costs {
		if len(row) != n {
			return refuse("wrong_count", fmt.Sprintf("costs[%d]", i), "", "has %d numbers; the matrix has %d rows and must be square", len(row), n)
		}
		for j, c := range row {
			switch field := fmt.Sprintf("costs[%d][%d]", i, j); {
			case i == j:
			case c < 0 || c > maxStep:
				return refuse("out_of_range", field, "", "is %d; must be 0 to %d", c, maxStep)
			case j < i && c != costs[j][i]:
				return refuse("not_symmetric", field, "", "is %d but costs[%d][%d] is %d; the way back must cost the same", c, j, i, costs[j][i])
			}
		}
	}
	for _, e := range []struct {
		field string
		at    *int
	}{{"start", opt.Start}, {"end", opt.End}} {
		if e.at != nil && (*e.at < 0 || *e.at >= n) {
			return refuse("unknown_node", e.field, "", "is %d; the nodes are 0 to %d", *e.at, n-1)
		}
	}
	if opt.Start != nil && opt.End != nil && *opt.Start == *opt.End && n > 1 {
		return refuse("contradiction", "end", "", "is the start as well; a path through %d nodes has two ends", n)
	}
	return nil
}

// budget counts steps down.
type budget struct {
	left int64
	ask  int64
	stop func() bool
}

// spend says whether work may go on.
func (b *budget) spend(steps int64) bool {
	b.left -= steps
	b.ask -= steps
	if b.ask < 0 && b.stop != nil {
		b.ask = 1_000_000
		if b.stop() {
			b.left = min(b.left, 0)
		}
	}
	return b.left > 0
}

// part sets a share of what is left aside as a budget of its own.
func (b *budget) part(percent int64) *budget {
	p := &budget{left: b.left / 100 * percent, stop: b.stop}
	b.left -= p.left
	return p
}

// subsetPath finds the shortest path by dynamic programming over subsets, O(2^n n^2) (Held, Karp, J.
// SIAM 10 (1962) 196-210).
func subsetPath(costs [][]int64, opt PathOptions) Path {
	n := len(costs)
	full := 1<<n - 1
	best := make([]int64, (full+1)*n)
	for i := range best {
		best[i] = math.MaxInt64
	}
	for v := range n {
		if opt.Start == nil || *opt.Start == v {
			best[1<<v*n+v] = 0
		}
	}
	for set := 1; set <= full; set++ {
		for v := range n {
			c := best[set*n+v]
			if c == math.MaxInt64 {
				continue
			}
			for w := range n {
				if set>>w&1 == 0 {
					to := (set|1<<w)*n + w
					best[to] = min(best[to], c+costs[v][w])
				}
			}
		}
	}
	last := -1
	for v := range n {
		if (opt.End == nil || *opt.End == v) && (last < 0 || best[full*n+v] < best[full*n+last]) {
			last = v
		}
	}
	p := Path{Length: best[full*n+last], Order: make([]int, n)}
	p.LowerBound = p.Length
	for set, v, i := full, last, n-1; ; i-- {
		p.Order[i] = v
		if i == 0 {
			return p
		}
		rest := set &^ (1 << v)
		for u := range n {
			if rest>>u&1 == 1 && best[rest*n+u] < math.MaxInt64 && best[rest*n+u]+costs[u][v] == best[set*n+v] {
				set, v = rest, u
				break
			}
		}
	}
}
