package calc

import (
	"springline/qc/pairing"
	"springline/qc/words"
)

func kindsPair() []Kind {
	return []Kind{
		row("pair.match", "The best pairs of ribs, with proof: most pairs first, then the least mismatch.",
			"J. Edmonds, Maximum matching and a polyhedron with 0,1 vertices, J. Res. NBS 69B (1965) 125-130; costs as stated in the fields",
			pairMatch),
		row("pair.order", "The order in which pairs stand along a structure so that neighbours differ least, with a proven bound.",
			"M. Held, R. M. Karp, Oper. Res. 18 (1970) 1138-1162; a pair counts as the mean of its two ribs", pairOrder),
		row("order.path", "The shortest open path through all nodes, exact up to 16, else the best found with a proven bound.",
			"M. Held, R. M. Karp, J. SIAM 10 (1962) 196-210 and Oper. Res. 18 (1970) 1138-1162", orderPath),
	}
}

type pairMatchIn struct {
	Metric string `json:"metric" doc:"rms: isqrt(floor(S 10^6 / W)) nm; max: largest weighted difference; both the better way round"`

	Weights    pairing.Weights `json:"weights" doc:"tip, crown, stations[]: whole numbers, not all zero"`
	Limit      *int64          `json:"limit_nm" doc:"largest mismatch of a pair in nanometres, inclusive, or null"`
	LotPenalty int64           `json:"lot_penalty_nm" doc:"added to the cost of a pair from two lots, nanometres"`
	Ribs       []pairing.Rib   `json:"ribs" doc:"id, lot, dev_um of each rib"`
	Forbidden  [][2]int        `json:"forbidden" doc:"pairs of rib indices never to be formed"`
	Locked     [][2]int        `json:"locked" doc:"pairs of rib indices formed already"`
	Objective  string          `json:"objective" doc:"sum: least sum of costs; worst_then_sum: least largest mismatch, then least sum"`
}

type pairOut struct {
	A        int    `json:"a"`
	B        int    `json:"b"`
	AID      string `json:"a_id"`
	BID      string `json:"b_id"`
	Flip     bool   `json:"flip"`
	Mismatch int64  `json:"mismatch_nm"`
	Locked   bool   `json:"locked"`
}

type pairLeft struct {
	Rib    int    `json:"rib"`
	ID     string `json:"id"`
	Reason string `json:"reason"`
}

type pairProof struct {
	LowerBound int64 `json:"lower_bound_nm"`
	Optimal    bool  `json:"optimal"`
}

type pairMatchOut struct {
	Pairs    []pairOut  `json:"pairs" doc:"a < b: rib indices; flip: b stands turned end for end; locked pairs are listed and marked"`
	Unpaired []int      `json:"unpaired" doc:"indices of the ribs left over"`
	Left     []pairLeft `json:"left" doc:"the same with id and reason"`
	Count    int        `json:"count" doc:"pairs, without the locked ones"`
	Sum      int64      `json:"sum_nm" doc:"sum of mismatches and lot penalties, without the locked pairs"`
	Worst    int64      `json:"worst_nm" doc:"largest mismatch, without the locked pairs"`
	Proof    pairProof  `json:"certificate" doc:"value of the dual solution, checked over all admissible pairs; optimal when it equals sum_nm"`
}

func pairMatch(in pairMatchIn) (pairMatchOut, error) {
	p, err := in.problem()
	if err != nil {
		return pairMatchOut{}, err
	}
	r, err := pairing.Solve(p)
	if err != nil {
		return pairMatchOut{}, err
	}
	out := pairMatchOut{
		Pairs: []pairOut{}, Unpaired: []int{}, Left: []pairLeft{}, Count: r.Count, Sum: r.Sum, Worst: r.Worst,
		Proof: pairProof{LowerBound: r.LowerBound, Optimal: r.Optimal},
	}
	for _, q := range r.Pairs {
		out.Pairs = append(out.Pairs, pairOut{
			A: q.A, B: q.B, AID: p.Ribs[q.A].ID, BID: p.Ribs[q.B].ID, Flip: q.Flip, Mismatch: q.Mismatch, Locked: q.Locked,
		})
	}
	for _, l := range r.Unpaired {
		out.Unpaired = append(out.Unpaired, l.Rib)
		out.Left = append(out.Left, pairLeft{Rib: l.Rib, ID: p.Ribs[l.Rib].ID, Reason: words.English.Say(l.Why)})
	}
	return out, nil
}

func (in pairMatchIn) problem() (pairing.Problem, error) {
	p := pairing.Problem{Limit: in.Limit, LotPenalty: in.LotPenalty, Forbidden: in.Forbidden, Locked: in.Locked}
	var err error
	if p.Metric, err = pairMetric(in.Metric); err != nil {
		return p, err
	}
	switch in.Objective {
	case "sum":
		p.Objective = pairing.Sum
	case "worst_then_sum":
		p.Objective = pairing.WorstThenSum
	default:
		return p, refuse("bad_choice", "objective", "is %q; use sum or worst_then_sum", in.Objective)
	}
	p.Weights, p.Ribs = in.Weights, in.Ribs
	return p, nil
}

func pairMetric(name string) (pairing.Metric, error) {
	switch name {
	case "rms":
		return pairing.RMS, nil
	case "max":
		return pairing.Max, nil
	}
	return 0, refuse("bad_choice", "metric", "is %q; use rms or max", name)
}
