package log

import (
	"slices"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// GaugeCheckedBody is one check of a gauge against a length that is known. Offset is the mean reading minus
// the reference, Allowed the largest error that one reading may have: that of the gauge at this length and
// half a step of its reading. It is OK when every reading lies within that even with the reference as far off as
// it may be: the doubt counts against the gauge (the principle of ISO 14253-1).
type GaugeCheckedBody struct {
	Gauge       string   `json:"gauge"`
	ReferenceNM int64    `json:"reference_nm"`
	Texts       []string `json:"texts"` // as typed
	ReadingsNM  []int64  `json:"readings_nm"`
	OffsetNM    int64    `json:"offset_nm"`
	AllowedNM   int64    `json:"allowed_nm"`
	DoubtNM     int64    `json:"doubt_nm,omitempty"` // the reference may be so far off
	OK          bool     `json:"ok"`
	DueUS       int64    `json:"due_us,omitempty"`
	Note        string   `json:"note,omitempty"` // what the reference is
	By          string   `json:"by,omitempty"`
	Keyed
}

// Check is what the check found.
func (b GaugeCheckedBody) Check() words.Check {
	c := words.Check{Reference: length.Length(b.ReferenceNM), Offset: length.Length(b.OffsetNM), Repeated: len(b.ReadingsNM) > 1,
		Allowed: length.Length(b.AllowedNM), Doubt: length.Length(b.DoubtNM), OK: b.OK}
	if c.Repeated {
		c.Spread = length.Length(slices.Max(b.ReadingsNM) - slices.Min(b.ReadingsNM))
	}
	return c
}

// GaugeRetiredBody takes a gauge out of use: what it sends or is read from it counts no more.
type GaugeRetiredBody struct {
	Gauge  string `json:"gauge"`
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"`
	Keyed
}

// GaugeMovedBody keeps who is behind a gauge once its send key has shown that it is in another socket than
// was thought: the fields of a device.Identity.
type GaugeMovedBody struct {
	Gauge   string `json:"gauge"`
	Vendor  string `json:"vendor,omitempty"`
	Product string `json:"product,omitempty"`
	Serial  string `json:"serial,omitempty"`
	Path    string `json:"path,omitempty"`
	Port    string `json:"port,omitempty"`
}

// TemperatureBody is one reading of the temperatures of bar and tape, in thousandths of a degree C. Replaces
// is an earlier reading that was wrong: what was measured under it is corrected by this one.
type TemperatureBody struct {
	Batch    string `json:"batch"`
	BarMC    int64  `json:"bar_mc"`
	TapeMC   int64  `json:"tape_mc"`
	DoubtMK  int64  `json:"doubt_mk"`
	Replaces int64  `json:"replaces,omitempty"`
	Keyed
	By string `json:"by,omitempty"`
}

// Temperatures are those read, in degrees C, with the record that says so.
func (b TemperatureBody) Temperatures(seq int64) qc.Temperatures {
	return qc.Temperatures{Seq: seq, Bar: float64(b.BarMC) / 1000, Tape: float64(b.TapeMC) / 1000, Doubt: float64(b.DoubtMK) / 1000}
}
