package pairing

import "fmt"

// Metric says how two ribs are compared.
type Metric int

const (
	// RMS is the weighted root mean square of the differences of two ribs.
	RMS Metric = iota + 1
	// Max is the largest weighted difference of two ribs.
	Max
)

// Objective says what is best among the matchings with the most pairs.
type Objective int

const (
	// Sum asks for the least sum of penalised mismatches.
	Sum Objective = iota + 1
	// WorstThenSum asks for the least largest mismatch first, then for the least sum.
	WorstThenSum
)

// Rib is one measured rib. Dev holds its deviations from target in micrometres, in this order:
// tip-to-tip, crown height, stations A1..Ak, stations B1..Bk.
type Rib struct {
	ID  string  `json:"id" doc:"name of the rib"`
	Lot string  `json:"lot" doc:"stock lot"`
	Dev []int32 `json:"dev_um" doc:"deviations in micrometres: tip, crown, A1..Ak, B1..Bk"`
}

// Weights are whole, not negative, and not all zero. A station's weight counts for A and B alike: were
// they different, turning a rib end for end would not keep distances, and the mismatch of two ribs
// would depend on which of them is turned.
type Weights struct {
	Tip      int64   `json:"tip" doc:"weight of the tip-to-tip deviation, whole"`
	Crown    int64   `json:"crown" doc:"weight of the crown height deviation, whole"`
	Stations []int64 `json:"stations" doc:"weight of each station, the same for leg A and leg B"`
}

// Problem is one pairing question. Ribs are named by their index in Ribs.
type Problem struct {
	Metric    Metric
	Objective Objective
	Weights   Weights
	// Limit is the largest mismatch in nanometres, inclusive, that a pair may have; nil for none.
	Limit *int64
	// LotPenalty in nanometres is added to the cost of a pair whose lots differ; the limit and
	// WorstThenSum look at the mismatch without it.
	LotPenalty int64
	Ribs       []Rib
	// Forbidden pairs are never formed. Locked pairs are formed already and leave the problem.
	Forbidden, Locked [][2]int
	// Prefer lists pairs to keep where several matchings are equally good, such as those decided on before: a
	// proposal then changes only where that gains something.
	Prefer [][2]int
}

// Pair is two ribs, A < B. Flip says that B stands turned end for end against A. Mismatch and Cost
// are nanometres; Cost includes the lot penalty.
type Pair struct {
	A, B     int
	Flip     bool
	Mismatch int64
	Cost     int64
	Locked   bool
}

// InputError is a refused problem. Field is the path of the offending value, such as
// ribs[3].dev_um[0]; Rib is the ID of the rib concerned, empty when none is.
type InputError struct {
	Code, Field, Rib, Message string
}

func (e *InputError) Error() string {
	return "pair ribs: " + e.Field + ": " + e.Message
}

func refuse(code, field, rib, format string, args ...any) *InputError {
	return &InputError{Code: code, Field: field, Rib: rib, Message: fmt.Sprintf(format, args...)}
}
