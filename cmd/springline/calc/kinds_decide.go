package calc

import (
	"math"

	"springline/qc"
	"springline/qc/stats"
)

func kindsDecide() []Kind {
	return []Kind{
		row("decide", "conformity probability and verdict of one value against its limits",
			"JCGM 106:2012 clauses 7 and 8; ISO 14253-1:2017", decide),
		row("decide.risk", "joint probability of accepting a bad part and of rejecting a good one",
			"JCGM 106:2012 9.5", func(in riskIn) (stats.Risk, error) {
				return stats.GlobalRisk(in.ProcessMean, in.ProcessSD, in.Lower, in.Upper, in.U, in.Guard)
			}),
	}
}

type decideIn struct {
	Value      float64  `json:"value" doc:"measured value, any unit"`
	U          float64  `json:"u" doc:"standard uncertainty, same unit, above zero"`
	Lower      *float64 `json:"lower" need:"no" doc:"lower limit, same unit, inclusive"`
	Upper      *float64 `json:"upper" need:"no" doc:"upper limit, same unit, inclusive"`
	Confidence *float64 `json:"confidence" need:"no" doc:"one-sided confidence of the guard band, 0.95 unless given"`

	Dof *float64 `json:"dof" need:"no" doc:"effective degrees of freedom of u, at least 1: the guard band is Student's; normal unless given"`
}

type decideOut struct {
	Conformity float64 `json:"conformity" doc:"probability that the true value is within the limits, normal"`
	Verdict    string  `json:"verdict" doc:"pass, fail or unsure"`
	Guard      float64 `json:"guard" doc:"factor(confidence, dof) u, same unit"`
}

// verdictOf are the lanes of the bench in the words of the contract.
var verdictOf = map[qc.Lane]string{qc.LaneIn: "pass", qc.LaneOut: "fail", qc.LaneUnsure: "unsure"}

func decide(in decideIn) (decideOut, error) {
	confidence, dof := given(in.Confidence, qc.DefaultConfidence), given(in.Dof, math.Inf(1))
	lower, upper := given(in.Lower, math.Inf(-1)), given(in.Upper, math.Inf(1))
	switch {
	case !(in.U > 0):
		return decideOut{}, refuse("impossible", "u", "the standard uncertainty must be above zero")
	case !(confidence > 0.5 && confidence < 1):
		return decideOut{}, refuse("impossible", "confidence", "must lie between 0.5 and 1")
	case !(dof >= 1):
		return decideOut{}, refuse("impossible", "dof", "must be at least 1")
	case in.Lower == nil && in.Upper == nil:
		return decideOut{}, refuse("missing_field", "upper", "give lower, upper or both")
	case in.Lower != nil && in.Upper != nil && *in.Lower >= *in.Upper:
		return decideOut{}, refuse("impossible", "lower", "the lower limit must be below the upper one")
	}
	p, err := stats.Conformity(in.Value, in.U, lower, upper)
	guard := qc.Factor(confidence, dof) * in.U
	return decideOut{Conformity: p, Guard: guard, Verdict: verdictOf[qc.Decide(in.Value, lower, upper, guard)]}, err
}

type riskIn struct {
	ProcessMean float64 `json:"process_mean" doc:"mean of the parts, any unit"`
	ProcessSD   float64 `json:"process_sd" doc:"standard deviation of the parts, same unit, above 0"`
	Lower       float64 `json:"lower" doc:"lower tolerance limit, same unit"`
	Upper       float64 `json:"upper" doc:"upper tolerance limit, same unit"`
	U           float64 `json:"u" doc:"standard uncertainty of a measurement, same unit"`
	Guard       float64 `json:"guard" doc:"how far acceptance stays inside each limit, same unit; negative widens"`
}
