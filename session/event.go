package session

import "springline/qc/words"

// Event kinds are past tense and stay for ever: a kind is never renamed and its body only grows
// optional fields. Lengths are whole nanometres (_nm), times microseconds of Unix time (_us). The
// envelope (bench, epoch, seq, time, hash) belongs to session/store.

// EventKind names the body that follows it.
type EventKind string

// The events of the bench.
const (
	EpochStarted   EventKind = "epoch-started"
	GaugeSet       EventKind = "gauge-set"
	LotSet         EventKind = "lot-set"
	JigSet         EventKind = "jig-set"
	TargetSet      EventKind = "target-set"
	BatchOpened    EventKind = "batch-opened"
	BatchClosed    EventKind = "batch-closed"
	RibStarted     EventKind = "rib-started"
	RibChosen      EventKind = "rib-chosen"
	RoundStarted   EventKind = "round-started"
	Measured       EventKind = "measured"
	Held           EventKind = "held"
	HeldDiscarded  EventKind = "held-discarded"
	Refused        EventKind = "refused"
	Voided         EventKind = "voided"
	Skipped        EventKind = "skipped"
	Pulled         EventKind = "pulled"
	PairsConfirmed EventKind = "pairs-confirmed"
	Noted          EventKind = "noted"
	Reopened       EventKind = "reopened"
	NextSet        EventKind = "next-set"
	StudyStarted   EventKind = "study-started"
	StudyMeasured  EventKind = "study-measured"
	GaugeChecked   EventKind = "gauge-checked"
	GaugeMoved     EventKind = "gauge-moved"
	GaugeRetired   EventKind = "gauge-retired"
	TemperatureSet EventKind = "temperature-set"
	StudyPaused    EventKind = "study-paused"
	StudyResumed   EventKind = "study-resumed"
	StudyCancelled EventKind = "study-cancelled"
	StudyFinished  EventKind = "study-finished"
	PairRuleSet    EventKind = "pair-rule-set"
	PairLocked     EventKind = "pair-locked"
	PairReleased   EventKind = "pair-released"
	PairForbidden  EventKind = "pair-forbidden"
	PairAllowed    EventKind = "pair-allowed"
	OrderConfirmed EventKind = "order-confirmed"
)

// EpochBody opens an epoch: a stretch of the record written by one installation without a restore.
// After is the chain value of the last record before it, empty for the first epoch.
type EpochBody struct {
	Software string `json:"software"`
	Reason   string `json:"reason"`
	After    string `json:"after,omitempty"`
}

// GaugeBody states a gauge and how it is connected. A later one with the same id replaces it from
// then on; what was judged before keeps the gauge it was measured with only through its measurements'
// record order, so a changed limit or class takes a new id.
type GaugeBody struct {
	ID           string   `json:"id"`
	Name         string   `json:"name"`
	Kind         string   `json:"kind"`
	Class        string   `json:"class,omitempty"`
	EndFace      bool     `json:"end_face,omitempty"`
	LimitNM      int64    `json:"limit_nm,omitempty"`
	ResolutionNM int64    `json:"resolution_nm"`
	Unit         string   `json:"unit"`
	Measures     []string `json:"measures"`
	CheckedUS    int64    `json:"checked_us,omitempty"`
	DueUS        int64    `json:"due_us,omitempty"`
	CheckNote    string   `json:"check_note,omitempty"`
	Address      string   `json:"address,omitempty"` // empty: typed only
	Format       string   `json:"format,omitempty"`  // wire format as JSON text
	Channel      string   `json:"channel,omitempty"`
	Line         string   `json:"line,omitempty"`
	By           string   `json:"by,omitempty"`
	Key          string   `json:"key,omitempty"`
}

// LotBody states a stock lot.
type LotBody struct {
	ID          string `json:"id"`
	Heat        string `json:"heat,omitempty"`
	Grade       string `json:"grade"`
	BarLengthNM int64  `json:"bar_length_nm"`
	Note        string `json:"note,omitempty"`
}

// JigBody states a jig set-up.
type JigBody struct {
	ID           string `json:"id"`
	FaceRadiusNM int64  `json:"face_radius_nm"`
	Blocks       int    `json:"blocks"`
	Note         string `json:"note,omitempty"`
}

// CharacteristicBody is one characteristic of a target.
type CharacteristicBody struct {
	ID        string `json:"id"`
	Kind      string `json:"kind"`
	Face      string `json:"face"`
	NominalNM int64  `json:"nominal_nm"`
	LowerNM   int64  `json:"lower_nm"`
	UpperNM   int64  `json:"upper_nm"`
	Repeats   int    `json:"repeats"`
	BandNM    int64  `json:"band_nm,omitempty"`
}

// StationBody is one station of a target.
type StationBody struct {
	ID          string `json:"id"`
	FromCrownNM int64  `json:"from_crown_nm"`
}

// TargetBody states one revision of a target.
type TargetBody struct {
	ID         string               `json:"id"`
	Revision   int                  `json:"revision"`
	Name       string               `json:"name"`
	DiameterNM int64                `json:"diameter_nm"`
	Grade      string               `json:"grade"`
	YieldMPa   int                  `json:"yield_mpa"`
	LegNM      int64                `json:"leg_nm"`
	ArcNM      int64                `json:"arc_nm"`
	RadiusNM   int64                `json:"radius_nm"`
	Face       string               `json:"face"`
	BuriedNM   int64                `json:"buried_nm,omitempty"` // depth to which the tips are buried
	Stations   []StationBody        `json:"stations"`
	Round      []CharacteristicBody `json:"round"`
}

// BatchBody opens a batch against one target revision, under one decision rule.
type BatchBody struct {
	ID              string  `json:"id"`
	Title           string  `json:"title"`
	Place           string  `json:"place,omitempty"`
	Maker           string  `json:"maker,omitempty"`
	Planned         int     `json:"planned"`
	Target          string  `json:"target"`
	Revision        int     `json:"revision"`
	Rule            string  `json:"rule"`
	Confidence      float64 `json:"confidence"`
	TempHalfWidthK  float64 `json:"temp_half_width_k"`
	FaceHalfWidthNM int64   `json:"face_half_width_nm,omitempty"`
	Jig             string  `json:"jig"`
	Lot             string  `json:"lot"`                    // lot of the next rib
	CheckedOnly     bool    `json:"checked_only,omitempty"` // values of gauges whose check is not in date wait
}

// BatchClosedBody closes a batch.
type BatchClosedBody struct {
	Batch string `json:"batch"`
	By    string `json:"by,omitempty"`
}

// RibBody starts a rib: it becomes the current one.
type RibBody struct {
	Batch string `json:"batch"`
	Rib   string `json:"rib"`
	Lot   string `json:"lot"`
	Jig   string `json:"jig"`
	Order int    `json:"order"`
	// BarLengthNM is the bar as measured before it was bent; zero: as the target's.
	BarLengthNM int64  `json:"bar_length_nm,omitempty"`
	Key         string `json:"key,omitempty"`
	By          string `json:"by,omitempty"`
}

// RibChosenBody makes an earlier rib the current one.
type RibChosenBody struct {
	Rib string `json:"rib"`
	Key string `json:"key,omitempty"`
	By  string `json:"by,omitempty"`
}

// RoundBody opens a fresh round on a rib, after a re-bend or to measure all of it again.
type RoundBody struct {
	Rib    string `json:"rib"`
	Round  int    `json:"round"`
	Reason string `json:"reason"`
	Jig    string `json:"jig,omitempty"` // wrapped again on this set-up
	Key    string `json:"key,omitempty"`
	By     string `json:"by,omitempty"`
}

// ReadingBody is a value as it reached the bench.
type ReadingBody struct {
	Gauge   string   `json:"gauge"`
	Entry   string   `json:"entry"`
	Text    string   `json:"text"`
	Unit    string   `json:"unit,omitempty"`
	ValueNM int64    `json:"value_nm"`
	RawHex  string   `json:"raw_hex,omitempty"`
	Channel string   `json:"channel,omitempty"`
	Flags   []string `json:"flags,omitempty"`
	By      string   `json:"by,omitempty"`
}

// MeasuredBody binds a reading to a rib and a characteristic. Replaces lists the measurements (by
// seq) that it stands in for; FromHeld the held value that a person took.
type MeasuredBody struct {
	ReadingBody
	Rib      string  `json:"rib"`
	Char     string  `json:"char"`
	Round    int     `json:"round"`
	Replaces []int64 `json:"replaces,omitempty"`
	FromHeld int64   `json:"from_held,omitempty"`
	Cause    string  `json:"cause,omitempty"` // why it counts although it disagrees with its repeats
	Key      string  `json:"key,omitempty"`
}

// HeldBody is a value that does not count by itself and waits for a person: Why it does not, Decide what the
// person is asked. Char is what it would be bound to; Suggest a value the bench thinks may be meant (unit slip),
// never taken unasked.
type HeldBody struct {
	ReadingBody
	Rib     string     `json:"rib,omitempty"`
	Char    string     `json:"char,omitempty"`
	Round   int        `json:"round,omitempty"`
	Why     words.Said `json:"why,omitzero"`
	Decide  words.Said `json:"decide,omitzero"`
	Reason  string     `json:"reason,omitempty"` // what Why says, of records before it
	Ask     string     `json:"ask,omitempty"`    // what Decide says, of records before it
	Suggest int64      `json:"suggest_nm,omitempty"`
	Repeat  bool       `json:"repeat,omitempty"` // disagrees with its repeats: taking it needs a cause
	Study   string     `json:"study,omitempty"`  // gauge study that it is for, with the step from 1
	Step    int        `json:"step,omitempty"`
	Key     string     `json:"key,omitempty"`
}

func (b HeldBody) why() words.Finding    { return b.Why.Or(b.Reason) }
func (b HeldBody) decide() words.Finding { return b.Decide.Or(b.Ask) }

// HeldDiscardedBody throws a held value out, with a reason.
type HeldDiscardedBody struct {
	Held   int64  `json:"held"`
	Reason string `json:"reason"`
	Key    string `json:"key,omitempty"`
	By     string `json:"by,omitempty"`
}

// RefusedBody is a frame or an entry that gave no value: What was wrong with it.
type RefusedBody struct {
	Gauge  string     `json:"gauge"`
	Code   string     `json:"code"`
	What   words.Said `json:"what,omitzero"`
	Detail string     `json:"detail,omitempty"` // what What says, of records before it
	RawHex string     `json:"raw_hex,omitempty"`
}

func (b RefusedBody) what() words.Finding { return b.What.Or(b.Detail) }

// VoidedBody withdraws a measurement. Undo marks the one-tap form.
type VoidedBody struct {
	Seq    int64  `json:"seq"`
	Reason string `json:"reason"`
	Undo   bool   `json:"undo,omitempty"`
	By     string `json:"by,omitempty"`
	Key    string `json:"key,omitempty"`
}

// SkippedBody leaves a characteristic out of a round; the rib stays open.
type SkippedBody struct {
	Rib    string `json:"rib"`
	Char   string `json:"char"`
	Round  int    `json:"round"`
	Reason string `json:"reason"`
	Key    string `json:"key,omitempty"`
	By     string `json:"by,omitempty"`
}

// PulledBody is one correction: the tips were at Before, brought to Loaded, and let go. What came
// after is the next round's tip-to-tip.
type PulledBody struct {
	Rib      string `json:"rib"`
	BeforeNM int64  `json:"before_nm"`
	LoadedNM int64  `json:"loaded_nm"`
	By       string `json:"by,omitempty"`
	Key      string `json:"key,omitempty"`
	Gauge    string `json:"gauge,omitempty"`
}

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
	Key        string       `json:"key,omitempty"`
}

// sparesWhy is why each spare found no partner; empty of records that do not say.
func (b PairsBody) sparesWhy() []words.Finding {
	var list []words.Finding
	for _, why := range b.SparesWhy {
		list = append(list, why.Of)
	}
	for _, why := range b.SpareWhy {
		list = append(list, words.Prose{Text: why})
	}
	return list
}

// NotedBody is a remark for the report.
type NotedBody struct {
	Batch string `json:"batch,omitempty"`
	Rib   string `json:"rib,omitempty"`
	Text  string `json:"text"`
	By    string `json:"by,omitempty"`
}

// ReopenedBody opens a measured characteristic again: the measurements listed no longer count and the
// next readings stand in for them.
type ReopenedBody struct {
	Rib      string  `json:"rib"`
	Char     string  `json:"char"`
	Round    int     `json:"round"`
	Replaces []int64 `json:"replaces"`
	Held     int64   `json:"held,omitempty"` // held value that is thrown out with them
	Reason   string  `json:"reason"`
	By       string  `json:"by,omitempty"`
	Key      string  `json:"key,omitempty"`
}

// NextSetBody sets the lot or the jig of the next rib of a batch; an empty one stays as it was. With a face
// radius the jig is a set-up built anew, which goes on record with it.
type NextSetBody struct {
	Batch        string `json:"batch"`
	Lot          string `json:"lot,omitempty"`
	Jig          string `json:"jig,omitempty"`
	FaceRadiusNM int64  `json:"face_radius_nm,omitempty"`
	Blocks       int    `json:"blocks,omitempty"`
	By           string `json:"by,omitempty"`
	Key          string `json:"key,omitempty"`
}
