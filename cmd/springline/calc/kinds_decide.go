package calc

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"springline/qc"
	"springline/qc/stats"
)

func kindsDecide() []Kind {
	return []Kind{
		New("decide", "conformity probability and verdict of one value against its limits",
			"JCGM 106:2012 clauses 7 and 8; ISO 14253-1:2017", decide),
	}
}

type decideIn struct {
	Value      float64  `json:"value" doc:"measured value, any unit"`
	U          float64  `json:"u" doc:"standard uncertainty, same unit, above zero"`
	Lower      *float64 `json:"lower" need:"no" doc:"lower limit, same unit, inclusive"`
	Upper      *float64 `json:"upper" need:"no" doc:"upper limit, same unit, inclusive"`
	Confidence *float64 `json:"confidence" need:"no" doc:"one-sided confidence of the guard band, 0.95 unless given"`
}

type decideOut struct {
	Conformity float64 `json:"conformity" doc:"probability that the true value is within the limits"`
	Verdict    string  `json:"verdict" doc:"pass, fail or unsure"`
	Guard      float64 `json:"guard" doc:"z(confidence) u, same unit"`
}

func decide(in decideIn) (decideOut, error) {
	confidence := qc.DefaultConfidence
	if in.Confidence != nil {
		confidence = *in.Confidence
	}
	lower, upper := math.Inf(-1), math.Inf(1)
	if in.Lower != nil {
		lower = *in.Lower
	}
	if in.Upper != nil {
		upper = *in.Upper
	}
	switch {
	case !(in.U > 0):
		return decideOut{}, Refuse("impossible", "u", "the standard uncertainty must be above zero")
	case !(confidence > 0.5 && confidence < 1):
		return decideOut{}, Refuse("impossible", "confidence", "must lie between 0.5 and 1")
	case in.Lower == nil && in.Upper == nil:
		return decideOut{}, Refuse("missing_field", "upper", "give lower, upper or both")
	case lower >= upper:
		return decideOut{}, Refuse("impossible", "lower", "the lower limit must be below the upper one")
	}
	p, err := stats.Conformity(in.Value, in.U, lower, upper)
	if err != nil {
		return decideOut{}, asStatsError(err)
	}
	out := decideOut{Conformity: p, Guard: distuv.UnitNormal.Quantile(confidence) * in.U}
	switch {
	case in.Value >= lower+out.Guard && in.Value <= upper-out.Guard:
		out.Verdict = "pass"
	case in.Value < lower-out.Guard || in.Value > upper+out.Guard:
		out.Verdict = "fail"
	default:
		out.Verdict = "unsure"
	}
	return out, nil
}
