package log

import (
	"springline/qc/words"
)

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

// WhyHeld is why it does not count; prose of records before there were codes.
func (b HeldBody) WhyHeld() words.Finding { return b.Why.Or(b.Reason) }

// ToDecide is what a person is asked.
func (b HeldBody) ToDecide() words.Finding { return b.Decide.Or(b.Ask) }

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

// WhatFailed is what was wrong with it.
func (b RefusedBody) WhatFailed() words.Finding { return b.What.Or(b.Detail) }

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
