package words

import "springline/qc/length"

// What the watch over the ribs as they come off the jig finds.
type (
	// JigDrift is a change: a shift or a creep since rib From, or a rib that stands alone.
	JigDrift struct {
		Char Char          `json:"char"`
		Kind string        `json:"kind"` // shift, creep or lone
		From string        `json:"from"`
		To   string        `json:"to"` // the last rib
		By   length.Length `json:"by_nm"`
	}
	// DriftBasis is what a finding about the jig rests on.
	DriftBasis struct {
		Ribs             int    `json:"ribs"`
		Jig              string `json:"jig"`
		Lot              string `json:"lot,omitempty"`
		ProvisionalBelow int    `json:"provisional_below,omitempty"` // ribs; zero once there are enough
	}
	// JigUnmeasured is a jig of which no rib is measured yet.
	JigUnmeasured struct {
		From int `json:"from"` // ribs from which on anything is said
	}
	// JigTooFew is a jig with too few ribs to say anything.
	JigTooFew struct {
		From int `json:"from"`
		DriftBasis
	}
	// JigSteady is a jig without a sign of having moved.
	JigSteady struct{ DriftBasis }
)

// Code of the finding.
func (JigDrift) Code() Code      { return "jig.drift" }
func (DriftBasis) Code() Code    { return "jig.basis" }
func (JigUnmeasured) Code() Code { return "jig.unmeasured" }
func (JigTooFew) Code() Code     { return "jig.too-few" }
func (JigSteady) Code() Code     { return "jig.steady" }
