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

// Keyed is what a body keeps of the command it was recorded for: its key, and a print of what was to be done, so
// that the key cannot stand for another deed. Records of earlier releases have no print.
type Keyed struct {
	Key   string `json:"key,omitempty"`
	Print string `json:"print,omitempty"` // 32 hex digits
}

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
	GaugeStated
	By string `json:"by,omitempty"`
	Keyed
}

// GaugeStated is a gauge as a person or a job states it.
type GaugeStated struct {
	ID           string   `json:"id" most:"120" doc:"the gauge"`
	Name         string   `json:"name" most:"120" doc:"its name on page and report"`
	Kind         string   `json:"kind" most:"120" doc:"tape, caliper or steel rule"`
	Class        string   `json:"class,omitempty" need:"no" most:"120" doc:"of a tape: I, II or III"`
	EndFace      bool     `json:"end_face,omitempty" need:"no" doc:"a tape's lengths start at its hook or end face"`
	LimitNM      int64    `json:"limit_nm,omitempty" need:"no" doc:"largest error of one that is no classed tape"`
	ResolutionNM int64    `json:"resolution_nm" doc:"smallest step it reads"`
	Unit         string   `json:"unit" most:"120" doc:"unit it sends or is read in"`
	Measures     []string `json:"measures" most:"120" doc:"kinds of characteristic it is used for"`
	CheckedUS    int64    `json:"checked_us,omitempty" need:"no" doc:"its last check"`
	DueUS        int64    `json:"due_us,omitempty" need:"no" doc:"its next"`
	CheckNote    string   `json:"check_note,omitempty" need:"no" most:"2000" doc:"how the last check came out"`
	Address      string   `json:"address,omitempty" need:"no" most:"2000" doc:"where it is connected; none: typed only"`
	Format       string   `json:"format,omitempty" need:"no" most:"4000" doc:"how it sends: a wire format, as JSON text"`
	Channel      string   `json:"channel,omitempty" need:"no" most:"120" doc:"as its frames name it on a shared line"`
	Line         string   `json:"line,omitempty" need:"no" most:"120" doc:"how its serial line is set"`
}

// LotBody states a stock lot.
type LotBody struct {
	ID          string `json:"id" most:"120" doc:"the lot"`
	Heat        string `json:"heat,omitempty" need:"no" most:"120" doc:"heat number"`
	Grade       string `json:"grade" most:"120" doc:"steel grade"`
	BarLengthNM int64  `json:"bar_length_nm" doc:"length of its bars"`
	Note        string `json:"note,omitempty" need:"no" most:"2000" doc:"a remark"`
}

// JigBody states a jig set-up.
type JigBody struct {
	ID           string `json:"id" most:"120" doc:"the set-up"`
	FaceRadiusNM int64  `json:"face_radius_nm" doc:"radius of the block faces"`
	Blocks       int    `json:"blocks" doc:"number of blocks"`
	Note         string `json:"note,omitempty" need:"no" most:"2000" doc:"a remark"`
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
	BandNM    int64  `json:"band_nm,omitempty" need:"no"`
}

// StationBody is one station of a target.
type StationBody struct {
	ID          string `json:"id"`
	FromCrownNM int64  `json:"from_crown_nm"`
}

// TargetBody states one revision of a target.
type TargetBody struct {
	ID         string               `json:"id" most:"120" doc:"the target"`
	Revision   int                  `json:"revision" doc:"its revision, from 1"`
	Name       string               `json:"name" most:"120" doc:"its name on page and report"`
	DiameterNM int64                `json:"diameter_nm" doc:"bar diameter"`
	Grade      string               `json:"grade" most:"120" doc:"steel grade"`
	YieldMPa   int                  `json:"yield_mpa" doc:"yield strength"`
	LegNM      int64                `json:"leg_nm" doc:"straight legs"`
	ArcNM      int64                `json:"arc_nm" doc:"length of the arc"`
	RadiusNM   int64                `json:"radius_nm" doc:"radius of the arc"`
	Face       string               `json:"face" most:"120" doc:"face that lengths are measured to"`
	BuriedNM   int64                `json:"buried_nm,omitempty" need:"no" doc:"depth to which the tips are buried"` // depth to which the tips are buried
	Stations   []StationBody        `json:"stations" doc:"stations of one side"`
	Round      []CharacteristicBody `json:"round" doc:"characteristics in the order measured"`
}

// BatchBody opens a batch against one target revision, under one decision rule.
type BatchBody struct {
	ID              string  `json:"id" most:"120" doc:"the batch"`
	Title           string  `json:"title" most:"120" doc:"its title on the report"`
	Place           string  `json:"place,omitempty" need:"no" most:"120" doc:"where it is made"`
	Maker           string  `json:"maker,omitempty" need:"no" most:"120" doc:"who makes it"`
	Planned         int     `json:"planned" doc:"ribs planned"`
	Target          string  `json:"target" most:"120" doc:"the target"`
	Revision        int     `json:"revision" doc:"its revision"`
	Rule            string  `json:"rule" most:"120" doc:"the decision rule"`
	Confidence      float64 `json:"confidence" doc:"with which conformity is proven"`
	TempHalfWidthK  float64 `json:"temp_half_width_k" doc:"doubt about the temperature"`
	FaceHalfWidthNM int64   `json:"face_half_width_nm,omitempty" need:"no" doc:"doubt about the face measured"`
	Jig             string  `json:"jig" most:"120" doc:"jig of the first rib"`
	Lot             string  `json:"lot" most:"120" doc:"lot of the first rib"`                                         // lot of the next rib
	CheckedOnly     bool    `json:"checked_only,omitempty" need:"no" doc:"values of gauges that are not in date wait"` // values of gauges whose check is not in date wait
}

// BatchClosedBody closes a batch.
type BatchClosedBody struct {
	Batch string `json:"batch"`
	By    string `json:"by,omitempty"`
	Keyed
}

// RibBody starts a rib: it becomes the current one.
type RibBody struct {
	Batch string `json:"batch"`
	Rib   string `json:"rib"`
	Lot   string `json:"lot"`
	Jig   string `json:"jig"`
	Order int    `json:"order"`
	// BarLengthNM is the bar as measured before it was bent; zero: as the target's.
	BarLengthNM int64 `json:"bar_length_nm,omitempty"`
	Keyed
	By string `json:"by,omitempty"`
}

// RibChosenBody makes an earlier rib the current one.
type RibChosenBody struct {
	Rib string `json:"rib"`
	Keyed
	By string `json:"by,omitempty"`
}

// RoundBody opens a fresh round on a rib, after a re-bend or to measure all of it again.
type RoundBody struct {
	Rib    string `json:"rib"`
	Round  int    `json:"round"`
	Reason string `json:"reason"`
	Jig    string `json:"jig,omitempty"` // wrapped again on this set-up
	Keyed
	By string `json:"by,omitempty"`
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
	Keyed
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
	Keyed
}

func (b HeldBody) whyHeld() words.Finding  { return b.Why.Or(b.Reason) }
func (b HeldBody) toDecide() words.Finding { return b.Decide.Or(b.Ask) }

// HeldDiscardedBody throws a held value out, with a reason.
type HeldDiscardedBody struct {
	Held   int64  `json:"held"`
	Reason string `json:"reason"`
	Keyed
	By string `json:"by,omitempty"`
}

// RefusedBody is a frame or an entry that gave no value: What was wrong with it.
type RefusedBody struct {
	Gauge  string     `json:"gauge"`
	Code   string     `json:"code"`
	What   words.Said `json:"what,omitzero"`
	Detail string     `json:"detail,omitempty"` // what What says, of records before it
	RawHex string     `json:"raw_hex,omitempty"`
}

func (b RefusedBody) whatFailed() words.Finding { return b.What.Or(b.Detail) }

// VoidedBody withdraws a measurement. Undo marks the one-tap form.
type VoidedBody struct {
	Seq    int64  `json:"seq"`
	Reason string `json:"reason"`
	Undo   bool   `json:"undo,omitempty"`
	By     string `json:"by,omitempty"`
	Keyed
}

// SkippedBody leaves a characteristic out of a round; the rib stays open.
type SkippedBody struct {
	Rib    string `json:"rib"`
	Char   string `json:"char"`
	Round  int    `json:"round"`
	Reason string `json:"reason"`
	Keyed
	By string `json:"by,omitempty"`
}

// PulledBody is one correction: the tips were at Before, brought to Loaded, and let go. What came
// after is the next round's tip-to-tip.
type PulledBody struct {
	Rib      string `json:"rib"`
	BeforeNM int64  `json:"before_nm"`
	LoadedNM int64  `json:"loaded_nm"`
	By       string `json:"by,omitempty"`
	Keyed
	Gauge string `json:"gauge,omitempty"`
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
	Keyed
}

// whySpare is why each spare found no partner; empty of records that do not say.
func (b PairsBody) whySpare() []words.Finding {
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
	Keyed
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
	Keyed
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
	Keyed
}
