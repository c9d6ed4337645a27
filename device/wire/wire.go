package wire

import (
	"springline/qc/words"
	"time"
)

// Sample is one value as a gauge sent it. Value is decimal text in the gauge's own unit with the
// resolution sent (leading zeros and a plus sign dropped, trailing zeros kept).
type Sample struct {
	Value   string
	Unit    string   // "mm", "cm", "m", "in", "ft" or "" when neither frame nor format names one
	InFrame bool     // the frame named the unit; else the format said it
	Channel string   // "" when the frame names none
	Flags   []string // hold, low_battery, duplicate_suspect, unit_changed, ...
	Accept  Accept
	Raw     []byte // the frame as received
}

// Accept says whether a sample may count by itself.
type Accept string

// A sample counts by itself (auto), waits for a person (confirm) or is only shown (never).
const (
	Auto    Accept = "auto"
	Confirm Accept = "confirm"
	Never   Accept = "never"
)

// FrameError says why bytes gave no sample.
type FrameError struct {
	Code  string // line_noise, partial_frame, partial_at_open, unit_missing, ...
	Raw   []byte
	Fault words.FrameFault
}

func (e *FrameError) Error() string { return e.Code + ": " + e.Detail() }

// Detail is the fault in words.
func (e *FrameError) Detail() string { return words.English.Say(e.Fault) }

// Event is one outcome of decoding: exactly one of Sample and Err is set.
type Event struct {
	At     time.Duration // since the port was opened
	Sample *Sample
	Err    *FrameError
}
