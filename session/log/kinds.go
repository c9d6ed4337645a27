package log

// Event is a decision to record something.
type Event struct {
	Kind Kind
	Body any
}

// Kind names the body that follows it.
type Kind string

// The events of the bench.
const (
	EpochStarted   Kind = "epoch-started"
	GaugeSet       Kind = "gauge-set"
	LotSet         Kind = "lot-set"
	JigSet         Kind = "jig-set"
	TargetSet      Kind = "target-set"
	BatchOpened    Kind = "batch-opened"
	BatchClosed    Kind = "batch-closed"
	RibStarted     Kind = "rib-started"
	RibChosen      Kind = "rib-chosen"
	RoundStarted   Kind = "round-started"
	Measured       Kind = "measured"
	Held           Kind = "held"
	HeldDiscarded  Kind = "held-discarded"
	Refused        Kind = "refused"
	Voided         Kind = "voided"
	Skipped        Kind = "skipped"
	Pulled         Kind = "pulled"
	PairsConfirmed Kind = "pairs-confirmed"
	Noted          Kind = "noted"
	Reopened       Kind = "reopened"
	NextSet        Kind = "next-set"
	StudyStarted   Kind = "study-started"
	StudyMeasured  Kind = "study-measured"
	GaugeChecked   Kind = "gauge-checked"
	GaugeMoved     Kind = "gauge-moved"
	GaugeRetired   Kind = "gauge-retired"
	TemperatureSet Kind = "temperature-set"
	StudyPaused    Kind = "study-paused"
	StudyResumed   Kind = "study-resumed"
	StudyCancelled Kind = "study-cancelled"
	StudyFinished  Kind = "study-finished"
	PairRuleSet    Kind = "pair-rule-set"
	PairLocked     Kind = "pair-locked"
	PairReleased   Kind = "pair-released"
	PairForbidden  Kind = "pair-forbidden"
	PairAllowed    Kind = "pair-allowed"
	OrderConfirmed Kind = "order-confirmed"
)

// Keyed is what a body keeps of the command it was recorded for: its key, and a print of what was to be done, so
// that the key cannot stand for another deed. Records of earlier releases have no print.
type Keyed struct {
	Key   string `json:"key,omitempty"`
	Print string `json:"print,omitempty"` // 32 hex digits
}
