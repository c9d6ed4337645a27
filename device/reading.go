package device

import (
	"time"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc/words"
)

// Clock is the time as package cmd gives it: Now carries a monotonic part, Start is when the process
// began.
type Clock struct {
	Now   func() time.Time
	Start time.Time
}

// stamp gives both forms of a moment: since the start (never jumps) and by the wall.
func (c Clock) stamp(at time.Time) (time.Duration, time.Time) { return at.Sub(c.Start), at.Round(0) }

// Reading is one outcome of a gauge: a sample, or bytes that gave none (Event.Err).
type Reading struct {
	Gauge      string // Gauge.ID
	Event      wire.Event
	At         time.Duration // since the process began, monotonic
	Wall       time.Time     // the same moment by the wall clock
	Raw        []byte        // the bytes of the frame as received
	Connection uint64        // counts openings of this gauge from 1; 0 for typed entries
}

// State is how a gauge is doing.
type State string

// The states. Only in StateReading do readings come.
const (
	StateConnecting   State = "connecting"
	StateReading      State = "reading"
	StateGone         State = "gone"          // unplugged or unreachable; it is looked for
	StateBusy         State = "busy"          // another program has the port; tried again every 2 s
	StateNoPermission State = "no_permission" // tried again when the device's permissions change
	StateError        State = "error"         // wrong address or settings
	StateEnded        State = "ended"         // a replay came to its end, or the gauge was removed
)

// Update is one thing that happened to a gauge. Updates of one gauge come in order. Reading is nil when
// only the state changed.
type Update struct {
	Gauge   string
	State   State
	Reason  string // in words, with what to do; "" when all is well
	Reading *Reading
	// Unsure says why it is not certain that this port is this gauge; such readings wait for a person.
	Unsure words.WhichGauge
	// Identity is set once when a gauge was moved to another socket by Claim: keep it.
	Identity *port.Identity
}

// FlagTyped marks what a person typed, FlagWhichGauge a reading whose gauge is not certain,
// FlagIdentify one sent only to tell which gauge it is.
const (
	FlagTyped      = "typed"
	FlagWhichGauge = "which_gauge"
	FlagIdentify   = "identify"
)

// rawOf gives the bytes of an event.
func rawOf(e wire.Event) []byte {
	switch {
	case e.Sample != nil:
		return e.Sample.Raw
	case e.Err != nil:
		return e.Err.Raw
	}
	return nil
}
