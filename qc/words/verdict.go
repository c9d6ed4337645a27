package words

import "springline/qc/length"

// Why a rib has its verdict.
type (
	// StillToMeasure is a rib whose round lacks characteristics.
	StillToMeasure struct {
		Chars []Char `json:"chars"`
	}
	// OutOfLimits is a characteristic proven out: Past is above zero over its upper limit, below under the lower.
	OutOfLimits struct {
		Char      Char          `json:"char"`
		Deviation length.Length `json:"deviation_nm"`
		Past      length.Length `json:"past_nm"`
		NoBending bool          `json:"no_bending,omitempty"` // it cannot be bent in
	}
	// NearLimit is a characteristic that is proven neither in nor out.
	NearLimit struct {
		Char      Char          `json:"char"`
		Deviation length.Length `json:"deviation_nm"`
		Guard     length.Length `json:"guard_nm"`
	}
	// AllWithin is a rib that passes with so many characteristics.
	AllWithin struct {
		Chars int `json:"chars"`
	}
)

// Code of the finding.
func (StillToMeasure) Code() Code { return "verdict.still-to-measure" }
func (OutOfLimits) Code() Code    { return "verdict.out-of-limits" }
func (NearLimit) Code() Code      { return "verdict.near-limit" }
func (AllWithin) Code() Code      { return "verdict.all-within" }
