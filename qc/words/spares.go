package words

import "springline/qc/length"

// Group is some ribs: how many, and the first of them by name.
type Group struct {
	Ribs  []string `json:"ribs"`
	Count int      `json:"count"`
}

// Why a rib is left without a partner.
type (
	// NoOtherRib is the only rib there is.
	NoOtherRib struct{}
	// OddCount is a rib left over because their number is odd.
	OddCount struct{}
	// AllForbidden is a rib of which every pair is forbidden.
	AllForbidden struct{}
	// OverLimit is a rib that fits none within the limit.
	OverLimit struct {
		Limit   length.Length `json:"limit_nm"`
		Nearest string        `json:"nearest"`
		By      length.Length `json:"by_nm"`
	}
	// OthersNeed is a rib whose partners are needed by others.
	OthersNeed struct{}
	// OddGroup is a rib of a group of odd number that can be paired among themselves only.
	OddGroup struct {
		Own Group `json:"own"`
	}
	// TooManyWant is a rib, alone or of a group of odd number, whose partners are wanted by more than there are.
	TooManyWant struct {
		Own     Group `json:"own"` // count 1: the rib alone
		Wanted  Group `json:"wanted"`
		Wanting int   `json:"wanting"`
	}
)

// Code of the finding.
func (NoOtherRib) Code() Code   { return "spare.no-other-rib" }
func (OddCount) Code() Code     { return "spare.odd-count" }
func (AllForbidden) Code() Code { return "spare.all-forbidden" }
func (OverLimit) Code() Code    { return "spare.over-limit" }
func (OthersNeed) Code() Code   { return "spare.others-need" }
func (OddGroup) Code() Code     { return "spare.odd-group" }
func (TooManyWant) Code() Code  { return "spare.too-many-want" }
