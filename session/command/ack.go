package command

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Ack says what was recorded, and is the same whenever the same command is sent again.
type Ack struct {
	Epoch int64    `json:"epoch"`
	Seq   int64    `json:"seq"`
	Kind  log.Kind `json:"kind"`
	Rib   string   `json:"rib,omitempty"`
	Char  string   `json:"char,omitempty"`
	Read  string   `json:"read,omitempty"` // a typed value read back
	// Held is set when the value waits for an answer: Reason says why and Ask what to decide.
	Held    bool   `json:"held,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Ask     string `json:"ask,omitempty"`
	Suggest string `json:"suggest,omitempty"`
}

// keyed is what a body keeps of the command that it was recorded for: nothing where there was no key.
func (s Sent) keyed() log.Keyed {
	if s.Key == "" {
		return log.Keyed{}
	}
	return log.Keyed{Key: s.Key, Print: s.Print}
}

// Repeated answers a command that was carried out before under its key. A record of an earlier release has no
// print, and there the kind must do.
func Repeated(o Order, as []log.Kind, r store.Record) (Ack, error) {
	var k log.Keyed
	if err := json.Unmarshal(r.Body, &k); err != nil {
		return Ack{}, fmt.Errorf("read record %d back: %w", r.Seq, err)
	}
	if k.Print == o.Print || k.Print == "" && slices.Contains(as, log.Kind(r.Kind)) {
		return AckOf(r)
	}
	return Ack{}, words.Problem(words.CodeKeyUsed, "key", "give every command a key of its own",
		"the key %q stands for record %d (%s) and cannot be used for %q", o.Key, r.Seq, r.Kind, o.Op())
}

// AckOf reads the answer from the record alone, so that it is the same at any later time.
func AckOf(r store.Record) (Ack, error) {
	a := Ack{Epoch: r.Epoch, Seq: r.Seq, Kind: log.Kind(r.Kind)}
	var body struct {
		log.ReadingBody
		Rib  string `json:"rib"`
		Char string `json:"char"`
	}
	if err := json.Unmarshal(r.Body, &body); err != nil {
		return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
	}
	a.Rib, a.Char = body.Rib, body.Char
	if body.Gauge != "" && (a.Kind == log.Measured || a.Kind == log.Held || a.Kind == log.StudyMeasured) {
		a.Read = body.ReadingBody.ReadBack()
	}
	if a.Kind == log.Held {
		var held log.HeldBody
		if err := json.Unmarshal(r.Body, &held); err != nil {
			return a, fmt.Errorf("read record %d back: %w", r.Seq, err)
		}
		a.Held, a.Reason, a.Ask = true, words.English.Say(held.WhyHeld()), words.English.Say(held.ToDecide())
		if held.Suggest != 0 {
			a.Suggest = words.Exact(length.Length(held.Suggest))
		}
	}
	return a, nil
}

// ErrSame is what a refusal wraps where what was to be stated is on record just so.
var ErrSame = errors.New("it is on record just so")
