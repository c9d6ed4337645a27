package wire

import "time"

// Format describes how one kind of gauge writes its readings. It is data: a format file is this
// structure as JSON (see [ParseFormat], which also fills in the defaults), so a new gauge needs no
// code. A Format made in Go starts from [DefaultFormat]. Times are whole milliseconds.
//
// # All families
//
//   - family: line (text ended by a terminator), fixed (text in fixed columns), query (a line sent
//     only when asked), stream (lines sent all the time), bcd (binary frames of decimal digits),
//     keyboard (keys typed by the gauge).
//   - name, note: free words for people; no effect.
//   - open_gap_ms (150): what arrives with less silence than this before it after opening may be the
//     tail of an older frame and is dropped up to the first terminator.
//   - open_settle_ms (0, at most 3000): bytes this early after opening are always dropped, for
//     adapters that make the gauge restart.
//   - idle_flush_ms (300): an unfinished frame is an error after this much silence.
//   - max_len (64): the longest text frame, terminator not counted.
//   - dup_window_ms (150): the same value again within this time is a suspected double send; 0 = off.
//     Not used by query and stream, which have rules of their own.
//
// # Text frames (line, query, stream, keyboard)
//
// A frame reads, in this order, spaces and tabs allowed between the parts:
// prefix, channel, status (if in front), sign, number, unit, status (if behind), checksum.
//
//   - terminator (any): any = CR, LF or CR LF, from a keyboard gauge Tab as well; cr, lf, crlf, tab = only that.
//   - prefix (""): literal text that every frame starts with.
//   - channel (none): none; chars:N = the next N characters; until:X = characters up to the text X.
//   - sign (front): front = optional, before the digits, spaces may stand between; required = there is
//     always + or -; behind = after the digits; none = there never is one.
//   - decimal (either): point, comma, or either. Grouping of thousands is never accepted.
//   - number (plain): plain = digits with or without a decimal mark; the IEEE 488.2 forms nr1 (whole),
//     nr2 (with decimal mark), nr3 (with mark and exponent; a frame without the exponent is refused,
//     since losing it changes the value); nrf = any of these.
//   - decimals (-1): every number in the bound unit has so many decimals; -1 = any. A lost digit is then
//     noticed.
//   - unit (optional): required = each frame names it; optional; none = never expected;
//     fixed:U = the gauge measures in U and need not say so; required:U = must be said, bound to U.
//   - bound_unit: another way to write the U of required:U.
//   - unit_map: the gauge's own unit words, for example {"I": "in"}; mm, cm, m, in, inch, ft and the
//     marks " and ' are known. When set, only the words in it count.
//   - status (none): none, prefix or suffix: letters that tell the gauge's state.
//   - status_map: what they mean: ok, low_battery (flag, still counts), hold (flag, waits for a
//     person), over_range (error), or a word of your own (flag, waits for a person).
//   - checksum (none): xor or sum: "*" and two hexadecimal digits end the frame, over all before "*".
//   - length (0): every frame has so many characters, terminator not counted; 0 = any. A lost or added
//     character is then noticed; set it for a gauge that pads its numbers.
//
// # Fixed columns and BCD
//
// Fixed columns also use sign, decimal, number, decimals, unit, unit_map and status_map as above.
//
//   - layout: the frame, column by column; see parseLayout and parseBCDLayout.
//   - length: the frame length in bytes as a cross-check of layout, with or without the terminator;
//     0 = not checked.
//
// # Query
//
//   - query_hex: the bytes that ask for a reading, in hexadecimal.
//   - timeout_ms (400): an answer later than this is not an answer to that question.
//   - poll_ms (1000): how often a reader should ask when nothing else makes it ask.
//
// # Stream
//
// One reading is captured when the value has stood still, the next only after it has moved. Other
// plain names for these settings are understood, such as settle_ms or rearm_mm.
//
//   - stable_n (3, or 2 if only stable_ms is given): that many frames in a row within stable_band of each other.
//   - stable_ms (0): for at least this long.
//   - stable_band (one unit of the last digit sent): decimal text in the gauge's unit.
//   - rearm (ten times the band): how far the value must move from the captured one.
//
// # Keyboard
//
//   - burst_gap_ms (60): keys this far apart were not typed by the gauge; the line is refused.
//   - min_keys (4): fewer keys, terminator included, are not a reading.
//   - repeat_min_ms, repeat_max_ms (20, 50): the same key again after such a time is a stuck key and
//     spoils its burst; repeat_max_ms 0 = off. A gauge that types slower than one key in
//     repeat_min_ms needs these changed.
type Format struct {
	Family       string
	Name         string
	Note         string
	OpenGapMS    int
	OpenSettleMS int
	IdleFlushMS  int
	MaxLen       int
	DupWindowMS  int

	Terminator string
	Prefix     string
	Channel    string
	Sign       string
	Decimal    string
	Number     string
	Decimals   int
	Unit       string
	BoundUnit  string
	UnitMap    map[string]string
	Status     string
	StatusMap  map[string]string
	Checksum   string

	Layout string
	Length int

	QueryHex  string
	TimeoutMS int
	PollMS    int

	StableN    int
	StableMS   int
	StableBand string
	Rearm      string

	BurstGapMS  int
	MinKeys     int
	RepeatMinMS int
	RepeatMaxMS int
}

// The frame families.
const (
	Line     = "line"
	Fixed    = "fixed"
	Query    = "query"
	Stream   = "stream"
	BCD      = "bcd"
	Keyboard = "keyboard"
)

// DupWindow is how soon after a value the same one is taken for the same send (common practice, no source): the
// default of dup_window_ms.
const DupWindow = 150 * time.Millisecond

// DefaultFormat returns a format of the family with every setting at its default. The fixed and bcd
// families still need a layout and the query family its query_hex.
func DefaultFormat(family string) Format {
	return Format{
		Family:      family,
		OpenGapMS:   150,
		IdleFlushMS: 300,
		MaxLen:      64,
		DupWindowMS: int(DupWindow / time.Millisecond),
		Terminator:  "any",
		Channel:     "none",
		Sign:        "front",
		Decimal:     "either",
		Number:      "plain",
		Decimals:    -1,
		Unit:        "optional",
		Status:      "none",
		Checksum:    "none",
		TimeoutMS:   400,
		PollMS:      1000,
		StableN:     3,
		BurstGapMS:  60,
		MinKeys:     4,
		RepeatMinMS: 20,
		RepeatMaxMS: 50,
	}
}
