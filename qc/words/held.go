package words

import "springline/qc/length"

// Char names a characteristic as the round of a target does: tip, crown, A1, B1, leg-a, leg-b, twist, diameter.
type Char string

// CheckState is how the check of a gauge stands: in-date, due, never, failed, out-of-use.
type CheckState string

// Why a value waits for a person.
type (
	// ValueCannotBe is a value that no rib can have.
	ValueCannotBe struct {
		Char  Char          `json:"char"`
		Value length.Length `json:"value_nm"`
	}
	// UnitSlip is a value that differs from the wanted one by the factor between two units.
	UnitSlip struct {
		Value  length.Length `json:"value_nm"`
		Wanted length.Length `json:"wanted_nm"`
		Factor string        `json:"factor"`
	}
	// ValueFar is a value outside the plausible zone.
	ValueFar struct {
		Char   Char          `json:"char"`
		Value  length.Length `json:"value_nm"`
		Wanted length.Length `json:"wanted_nm"`
	}
	// SentTwice is a value that a gauge sent twice within a bounce of its button.
	SentTwice struct {
		WithinMS int64 `json:"within_ms"`
	}
	// SentAgain is the value of the place before, sent again for this one.
	SentAgain struct {
		Char Char `json:"char"`
	}
	// PairImpossible is a tip-to-tip and a crown height that no bar of that length can have.
	PairImpossible struct {
		Tip   length.Length `json:"tip_nm"`
		Crown length.Length `json:"crown_nm"`
		Bar   length.Length `json:"bar_nm"`
	}
	// TooFine is a value with digits that the gauge cannot read.
	TooFine struct {
		Value length.Length `json:"value_nm"`
		Gauge string        `json:"gauge"`
		Reads length.Length `json:"reads_nm"`
	}
	// RepeatsApart is a reading that lies further from the others of its round than repeats do. SD is that of
	// the batch's own repeats or of a gauge study; with a study friction comes on top.
	RepeatsApart struct {
		Char         Char          `json:"char"`
		Readings     int           `json:"readings"`
		Apart        length.Length `json:"apart_nm"`
		Limit        length.Length `json:"limit_nm"`
		FactorTenths int64         `json:"factor_tenths"`
		SD           length.Length `json:"sd_nm"`
		ByStudy      bool          `json:"by_study,omitempty"`
		Friction     length.Length `json:"friction_nm,omitempty"`
	}
	// NoRibOn is a value that came while no rib was on the bench.
	NoRibOn struct{}
	// RoundComplete is a value that came when the round had all it needs.
	RoundComplete struct {
		Rib string `json:"rib"`
	}
	// NotBound is a value of a gauge that does not measure what is next.
	NotBound struct {
		Next  Char   `json:"next"`
		Gauge string `json:"gauge"`
	}
	// WhichGauge is a value of which it is not certain which gauge sent it: like adapters may have been
	// exchanged, it is in another-socket, or the channel of its line changed or is nobody's.
	WhichGauge struct {
		Why     string `json:"why"`
		Gauge   string `json:"gauge,omitempty"`
		Channel string `json:"channel,omitempty"`
		Known   string `json:"known,omitempty"` // the channels that it could be
	}
	// OtherUnit is a value sent in another unit than the gauge is bound in.
	OtherUnit struct {
		Sent  string `json:"sent"`
		Bound string `json:"bound"`
	}
	// NotChecked is a value of a gauge whose check is not in date, in a batch that takes checked ones only.
	NotChecked struct {
		Gauge string     `json:"gauge"`
		State CheckState `json:"state"`
	}
	// Marked is a value that the decoder of the gauge's line does not vouch for, with its marks.
	Marked struct {
		Flags []string `json:"flags,omitempty"`
	}
	// StudyOtherGauge is a value of a gauge that is not the one studied.
	StudyOtherGauge struct {
		Study string `json:"study"`
		Uses  string `json:"uses"`
		Sent  string `json:"sent"`
	}
	// StudyFull is a value that came when the gauge study had all its readings.
	StudyFull struct {
		Study string `json:"study"`
	}
)

// Code of the finding.
func (ValueCannotBe) Code() Code   { return "value.cannot-be" }
func (UnitSlip) Code() Code        { return "value.unit-slip" }
func (ValueFar) Code() Code        { return "value.far" }
func (SentTwice) Code() Code       { return "value.sent-twice" }
func (SentAgain) Code() Code       { return "value.sent-again" }
func (PairImpossible) Code() Code  { return "value.pair-impossible" }
func (TooFine) Code() Code         { return "value.too-fine" }
func (RepeatsApart) Code() Code    { return "value.repeats-apart" }
func (NoRibOn) Code() Code         { return "value.no-rib" }
func (RoundComplete) Code() Code   { return "value.round-complete" }
func (NotBound) Code() Code        { return "value.not-bound" }
func (WhichGauge) Code() Code      { return "value.which-gauge" }
func (OtherUnit) Code() Code       { return "value.other-unit" }
func (NotChecked) Code() Code      { return "value.not-checked" }
func (Marked) Code() Code          { return "value.marked" }
func (StudyOtherGauge) Code() Code { return "value.study-other-gauge" }
func (StudyFull) Code() Code       { return "value.study-full" }

// What a person decides of it.
type (
	// MeasureAgain leaves nothing but to throw it out.
	MeasureAgain struct{}
	// MeantInstead offers the value that a slip makes likely.
	MeantInstead struct {
		Meant length.Length `json:"meant_nm"`
	}
	// TakeOrAgain asks whether the value is right.
	TakeOrAgain struct{}
	// BouncedOrSecond asks whether the button bounced.
	BouncedOrSecond struct{}
	// WasMoved asks whether the gauge was moved on.
	WasMoved struct {
		Char Char `json:"char"`
	}
	// OneIsWrong says that this value or the other one is wrong.
	OneIsWrong struct{}
	// LookAtDisplay asks what the gauge shows, and in which unit.
	LookAtDisplay struct {
		Unit string `json:"unit"`
	}
	// AllAgain asks to measure all again or to write a cause.
	AllAgain struct{}
	// StartRib asks for a rib to take the value for.
	StartRib struct{}
	// NextRib asks for the next rib, or what is measured again.
	NextRib struct{}
	// TakeAsMeasured asks what the value was measured on.
	TakeAsMeasured struct{}
	// SayWhich asks which gauge it is.
	SayWhich struct{}
	// SetBack asks whether the value is right, or the gauge is to be set back to its unit.
	SetBack struct {
		Value length.Length `json:"value_nm"`
		Unit  string        `json:"unit"`
	}
	// CheckGauge asks for a check of the gauge.
	CheckGauge struct{}
	// PauseStudy says how to measure a rib while a study runs.
	PauseStudy struct{}
	// FinishStudy says how to measure ribs after a study's last reading.
	FinishStudy struct{}
)

// Code of the finding.
func (MeasureAgain) Code() Code    { return "decide.measure-again" }
func (MeantInstead) Code() Code    { return "decide.meant-instead" }
func (TakeOrAgain) Code() Code     { return "decide.take-or-again" }
func (BouncedOrSecond) Code() Code { return "decide.bounced-or-second" }
func (WasMoved) Code() Code        { return "decide.was-moved" }
func (OneIsWrong) Code() Code      { return "decide.one-is-wrong" }
func (LookAtDisplay) Code() Code   { return "decide.look-at-display" }
func (AllAgain) Code() Code        { return "decide.all-again" }
func (StartRib) Code() Code        { return "decide.start-rib" }
func (NextRib) Code() Code         { return "decide.next-rib" }
func (TakeAsMeasured) Code() Code  { return "decide.take-as-measured" }
func (SayWhich) Code() Code        { return "decide.say-which" }
func (SetBack) Code() Code         { return "decide.set-back" }
func (CheckGauge) Code() Code      { return "decide.check-gauge" }
func (PauseStudy) Code() Code      { return "decide.pause-study" }
func (FinishStudy) Code() Code     { return "decide.finish-study" }
