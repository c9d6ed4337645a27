package log

import (
	"springline/qc/words"
)

// PairBody is one confirmed pair.
type PairBody struct {
	A          string `json:"a"`
	B          string `json:"b"`
	Flip       bool   `json:"flip"`
	MismatchNM int64  `json:"mismatch_nm"`
}

// PairsBody confirms the pairs of a batch. A later confirmation replaces the whole list.
type PairsBody struct {
	Batch      string       `json:"batch"`
	Pairs      []PairBody   `json:"pairs"`
	Spares     []string     `json:"spares"`
	SparesWhy  []words.Said `json:"spares_why,omitempty"` // of each spare, in that order
	SpareWhy   []string     `json:"spare_why,omitempty"`  // what SparesWhy says, of records before it
	SumNM      int64        `json:"sum_nm"`
	LowerBound int64        `json:"lower_bound_nm"`
	By         string       `json:"by"`
	Keyed
}

// WhySpare is why each spare found no partner; empty of records that do not say.
func (b PairsBody) WhySpare() []words.Finding {
	var list []words.Finding
	for _, why := range b.SparesWhy {
		list = append(list, why.Of)
	}
	for _, why := range b.SpareWhy {
		list = append(list, words.Prose{Text: why})
	}
	return list
}

// PairRuleBody states how the ribs of a batch are paired from then on.
type PairRuleBody struct {
	Batch      string `json:"batch"`
	Metric     string `json:"metric"`
	Objective  string `json:"objective"`
	Tip        int64  `json:"tip"` // weights
	Crown      int64  `json:"crown"`
	Station    int64  `json:"station"`
	LimitNM    int64  `json:"limit_nm,omitempty"`     // zero: none
	OtherLotNM int64  `json:"other_lot_nm,omitempty"` // how much a pair of one lot may be worse and is still preferred
	By         string `json:"by,omitempty"`
	Keyed
}

// PairLockBody takes two ribs out of the proposals as a pair that stands. Cost says what that cost at the
// time, beyond the best pairing: CostKnown is false where it was not worked out.
type PairLockBody struct {
	Batch string `json:"batch"`
	PairBody
	CostKnown  bool   `json:"cost_known,omitempty"`
	FewerPairs int    `json:"fewer_pairs,omitempty"`
	SumNM      int64  `json:"sum_nm,omitempty"`   // by which the sum grows
	WorstNM    int64  `json:"worst_nm,omitempty"` // by which the largest mismatch grows
	By         string `json:"by,omitempty"`
	Keyed
}

// TwoRibsBody names two ribs of a batch: a lock released, a pair forbidden or allowed again.
type TwoRibsBody struct {
	Batch  string `json:"batch"`
	A      string `json:"a"`
	B      string `json:"b"`
	Reason string `json:"reason,omitempty"`
	By     string `json:"by,omitempty"`
	Keyed
}

// StandBody is one pair in the run order; a turned one stands turned end for end as a whole.
type StandBody struct {
	A      string `json:"a"`
	B      string `json:"b"`
	Turned bool   `json:"turned,omitempty"`
}

// OrderBody confirms the order in which the confirmed pairs stand along the structure. A later one
// replaces it, and so does another confirmation of pairs.
type OrderBody struct {
	Batch      string      `json:"batch"`
	Order      []StandBody `json:"order"`
	LengthNM   int64       `json:"length_nm"`
	LowerBound int64       `json:"lower_bound_nm"`
	By         string      `json:"by"`
	Keyed
}
