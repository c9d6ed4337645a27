package words

// Why what a gauge sent gave no value.
type (
	// FrameFault is what the decoder of the gauge's line found wrong: the fault by its own code, and a text from
	// outside where there is one.
	FrameFault struct {
		Fault  string `json:"fault,omitempty"`
		Detail string `json:"detail,omitempty"`
		InARow bool   `json:"in_a_row,omitempty"` // bytes were damaged several times running
	}
	// GaugeUnknown is a value of a gauge that is not on record.
	GaugeUnknown struct {
		Gauge string `json:"gauge"`
	}
	// SentOutOfUse is a value of a gauge that is out of use.
	SentOutOfUse struct {
		Sent string `json:"sent"`
		Why  string `json:"why"`
	}
	// SentToIdentify is a value sent only to tell which gauge it is.
	SentToIdentify struct {
		Sent string `json:"sent"`
	}
	// SentWithoutBatch is a value that came while no batch was open.
	SentWithoutBatch struct {
		Sent string `json:"sent"`
	}
	// NoLength is a value that cannot be read as a length.
	NoLength struct {
		Text string `json:"text"`
		Unit string `json:"unit"`
	}
	// TooManyHeld is a value that came while too many waited.
	TooManyHeld struct {
		Sent string `json:"sent"`
		Wait int    `json:"wait"`
	}
	// TooManyHeldBlind is the same while a gauge study ran, which shows no value.
	TooManyHeldBlind struct {
		Wait int `json:"wait"`
	}
	// AndMore is a refusal with the number of those before it that were not recorded.
	AndMore struct {
		What Said `json:"what"`
		More int  `json:"more"`
	}
)

// Code of the finding.
func (FrameFault) Code() Code       { return "refused.frame" }
func (GaugeUnknown) Code() Code     { return "refused.gauge-unknown" }
func (SentOutOfUse) Code() Code     { return "refused.out-of-use" }
func (SentToIdentify) Code() Code   { return "refused.identify" }
func (SentWithoutBatch) Code() Code { return "refused.no-batch" }
func (NoLength) Code() Code         { return "refused.no-length" }
func (TooManyHeld) Code() Code      { return "refused.too-many-held" }
func (TooManyHeldBlind) Code() Code { return "refused.too-many-held-blind" }
func (AndMore) Code() Code          { return "refused.and-more" }
