package wire

// The codes of [FrameError].
const (
	CodeLineNoise     = "line_noise"      // bytes that no text frame holds, or between binary frames
	CodePartialFrame  = "partial_frame"   // a frame of which a part is missing
	CodePartialAtOpen = "partial_at_open" // dropped: may be the tail of an older frame
	CodeTooLong       = "too_long"        // no terminator within max_len
	CodeBadNumber     = "bad_number"      // not a number of the form that the format says
	CodeOverRange     = "over_range"      // the gauge says that it cannot measure
	CodeUnitMissing   = "unit_missing"    // the format says that every frame names its unit
	CodeUnitUnknown   = "unit_unknown"    // a word where a unit should stand
	CodeUnknownStatus = "unknown_status"  // a status letter that the format does not explain
	CodeBadFrame      = "bad_frame"       // prefix, channel or column not as the format says
	CodeBadChecksum   = "bad_checksum"    // the check digits do not match
	CodeBadDigit      = "bad_digit"       // a nibble above nine
	CodeTimeout       = "timeout"         // no answer to a question in time
	CodeStaleReply    = "stale_reply"     // an answer that belongs to no open question
	CodeStuckKey      = "stuck_key"       // a key repeats inside a burst
	CodeNotABurst     = "not_a_burst"     // keys too slow or too few to come from a gauge
	CodeGaugeFault    = "gauge_fault"     // the gauge reports a fault of its own
)

// The flags of [Sample].
const (
	FlagLowBattery  = "low_battery"       // still counts; warn
	FlagHold        = "hold"              // a frozen display
	FlagDuplicate   = "duplicate_suspect" // the same value again within dup_window_ms
	FlagUnitChanged = "unit_changed"      // not in the unit bound to this gauge
	FlagRest        = "rest_suspect"      // may be the rest of the frame that stopped a moment before
	FlagStale       = "stale_suspect"     // may answer an earlier question that was given up
)
