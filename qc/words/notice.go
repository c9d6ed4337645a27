package words

import "springline/qc/length"

// What happened, as the page lists it.
type (
	// ValueWaits is a value that waits for an answer.
	ValueWaits struct {
		Gauge string `json:"gauge"`
		Sent  string `json:"sent"`
		Why   Said   `json:"why"`
	}
	// StudyValueWaits is one of a gauge study: the value is not shown.
	StudyValueWaits struct {
		Gauge string `json:"gauge"`
		Study string `json:"study"`
		Step  int    `json:"step"`
	}
	// GaveNoValue is what a gauge sent in vain.
	GaveNoValue struct {
		Gauge string `json:"gauge"`
		What  Said   `json:"what"`
	}
	// Check is how the check of a gauge against a known length came out. Offset is the mean reading minus the
	// reference, Allowed the largest error that one reading may have.
	Check struct {
		Reference length.Length `json:"reference_nm"`
		Offset    length.Length `json:"offset_nm"`
		Spread    length.Length `json:"spread_nm"`
		Repeated  bool          `json:"repeated,omitempty"`
		Allowed   length.Length `json:"allowed_nm"`
		Doubt     length.Length `json:"doubt_nm,omitempty"` // the reference may be so far off
		OK        bool          `json:"ok"`
	}
	// GaugeChecked is a check of a gauge.
	GaugeChecked struct {
		Gauge string `json:"gauge"`
		Check
	}
	// CheckNote is what a gauge's list says of its last check.
	CheckNote struct {
		Check
		Against string `json:"against,omitempty"` // what the reference is
	}
	// GaugeOutOfUse is a gauge that was taken out of use.
	GaugeOutOfUse struct {
		Gauge string `json:"gauge"`
		Why   string `json:"why"`
	}
	// GaugeMoved is a gauge that was found in another socket: the adapter by its vendor and product ids and
	// serial number, the socket by the path of the port.
	GaugeMoved struct {
		Gauge   string `json:"gauge"`
		Vendor  string `json:"vendor,omitempty"`
		Product string `json:"product,omitempty"`
		Serial  string `json:"serial,omitempty"`
		Path    string `json:"path,omitempty"`
		Port    string `json:"port,omitempty"`
	}
	// StudyCounts is a gauge study whose repeatability counts from now on.
	StudyCounts struct {
		Study string        `json:"study"`
		Gauge string        `json:"gauge"`
		SD    length.Length `json:"sd_nm"`
	}
	// VerdictChange is a rib that is judged otherwise than before.
	VerdictChange struct {
		Rib  string `json:"rib"`
		From string `json:"from"`
		To   string `json:"to"`
	}
	// StudyChanged is a gauge study that changed verdicts.
	StudyChanged struct {
		Study string          `json:"study"`
		Ribs  []VerdictChange `json:"ribs"`
	}
	// Temperatures are those of bar and tape, in thousandths of a degree C; At is the time of day, 15:04.
	Temperatures struct {
		BarMC   int64  `json:"bar_mc"`
		TapeMC  int64  `json:"tape_mc"`
		DoubtMK int64  `json:"doubt_mk"`
		At      string `json:"at"`
	}
	// TemperaturesRead is a reading of them.
	TemperaturesRead struct{ Temperatures }
)

// Code of the finding.
func (ValueWaits) Code() Code       { return "notice.value-waits" }
func (StudyValueWaits) Code() Code  { return "notice.study-value-waits" }
func (GaveNoValue) Code() Code      { return "notice.gave-no-value" }
func (GaugeChecked) Code() Code     { return "notice.gauge-checked" }
func (CheckNote) Code() Code        { return "gauge.check-note" }
func (GaugeOutOfUse) Code() Code    { return "notice.gauge-out-of-use" }
func (GaugeMoved) Code() Code       { return "notice.gauge-moved" }
func (StudyCounts) Code() Code      { return "notice.study-counts" }
func (StudyChanged) Code() Code     { return "notice.study-changed" }
func (Temperatures) Code() Code     { return "temperature.read" }
func (TemperaturesRead) Code() Code { return "notice.temperatures-read" }
