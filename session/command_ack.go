package session

import (
	"encoding/json"
	"fmt"
	"slices"

	"springline/qc/length"
	"springline/qc/words"
	"springline/session/store"
)

// Ack says what was recorded, and is the same whenever the same command is sent again.
type Ack struct {
	Epoch int64     `json:"epoch"`
	Seq   int64     `json:"seq"`
	Kind  EventKind `json:"kind"`
	Rib   string    `json:"rib,omitempty"`
	Char  string    `json:"char,omitempty"`
	Read  string    `json:"read,omitempty"` // a typed value read back
	// Held is set when the value waits for an answer: Reason says why and Ask what to decide.
	Held    bool   `json:"held,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Ask     string `json:"ask,omitempty"`
	Suggest string `json:"suggest,omitempty"`
}

// keyed is what a body keeps of the command that it was recorded for: nothing where there was no key.
func (s Sent) keyed() Keyed {
	if s.Key == "" {
		return Keyed{}
	}
	return Keyed{Key: s.Key, Print: s.print}
}

// repeated answers a command that was carried out before under its key. A record of an earlier release has no
// print, and there the kind must do.
func repeated(o Order, as []EventKind, r store.Record) (Ack, error) {
	var k Keyed
	if err := json.Unmarshal(r.Body, &k); err != nil {
		return Ack{}, fmt.Errorf("read record %d back: %w", r.Seq, err)
	}
	if k.Print == o.print || k.Print == "" && slices.Contains(as, EventKind(r.Kind)) {
		return ackOf(r)
	}
	return Ack{}, words.Problem(words.CodeKeyUsed, "key", "give every command a key of its own",
		"the key %q stands for record %d (%s) and cannot be used for %q", o.Key, r.Seq, r.Kind, o.Op())
}

// ackOf reads the answer from the record alone, so that it is the same at any later time.
func ackOf(r store.Record) (Ack, error) {
	a := Ack{Epoch: r.Epoch, Seq: r.Seq, Kind: EventKind(r.Kind)}
	var body struct {
		ReadingBody
		Rib  string `json:"rib"`
		Char string `json:"char"`
	}
	if err := json.Unmarshal(r.Body, &body); err != nil {
		return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
	}
	a.Rib, a.Char = body.Rib, body.Char
	if body.Gauge != "" && (a.Kind == Measured || a.Kind == Held || a.Kind == StudyMeasured) {
		a.Read = body.ReadingBody.readBack()
	}
	if a.Kind == Held {
		var held HeldBody
		if err := json.Unmarshal(r.Body, &held); err != nil {
			return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
		}
		a.Held, a.Reason, a.Ask = true, words.English.Say(held.whyHeld()), words.English.Say(held.toDecide())
		if held.Suggest != 0 {
			a.Suggest = words.Exact(length.Length(held.Suggest))
		}
	}
	return a, nil
}
