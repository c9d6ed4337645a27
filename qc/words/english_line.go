package words

import (
	"fmt"
	"strings"
)

// lineFaults are what the decoder of a gauge's line may find wrong.
var lineFaults = map[string]string{
	"channel-missing":     "the frame does not name its channel",
	"channel-short":       "the frame is too short to name its channel",
	"check-byte-differs":  "the check byte does not match the frame",
	"check-differs":       "the check digits do not match the frame",
	"check-missing":       "the frame does not end with * and two hexadecimal digits",
	"check-unreadable":    "the check digits are not hexadecimal",
	"decimal-comma":       "a comma where the format says decimal point",
	"decimal-point":       "a point where the format says decimal comma",
	"decimal-unexpected":  "a decimal mark, which form nr1 never has",
	"decimals-count":      "not the number of decimals that the format says",
	"decimals-implied":    "digits are missing or a mark stands in a number with implied decimals",
	"decimals-missing":    "no decimals, which form nr2 always has",
	"decimals-too-many":   "more decimals than digits",
	"digit-above-nine":    "a nibble above nine",
	"digits-missing":      "no digits where the number should stand",
	"digits-too-many":     "more digits than any gauge resolves",
	"digits-uncomparable": "more digits than can be compared",
	"exponent-missing":    "no exponent, which form nr3 always has",
	"exponent-too-large":  "an exponent beyond any length",
	"exponent-unexpected": "an exponent, which the format does not expect",
	"format-long":         "longer than the format says",
	"format-short":        "shorter than the format says",
	"frame-cut":           "the next frame starts inside it",
	"frame-stopped":       "the frame stopped before its end",
	"frame-tail":          "dropped: may be the end of an older frame",
	"gauge-cannot":        "the gauge says that it cannot measure",
	"gauge-fault":         "the gauge reports a fault",
	"gauge-marks":         "the gauge shows marks instead of digits",
	"key-stuck":           "a key repeats as a held or stuck key does",
	"keys-few":            "fewer keys than min_keys: typed by hand?",
	"keys-slow":           "keys slower than burst_gap_ms: typed by hand?",
	"layout-byte":         "a byte that never changes is not where it should be",
	"layout-character":    "a fixed character is not as in the layout",
	"layout-long":         "longer than the layout",
	"layout-short":        "shorter than the layout",
	"layout-space":        "something stands where the layout has spaces",
	"noise-bytes":         "bytes that belong to no frame",
	"noise-text":          "bytes that no text frame holds",
	"number-goes-on":      "more digits, marks or signs after the number",
	"number-out-of-range": "a number that stands for over-range or not-a-number",
	"number-short":        "the number does not fill its column",
	"prefix-missing":      "the frame does not start with the prefix",
	"reply-late":          "was still arriving when the next question was asked",
	"reply-missing":       "no answer within timeout_ms",
	"reply-unasked":       "no question is open",
	"sign-missing":        "no sign, which the format always has",
	"sign-unexpected":     "a sign, which the format never has",
	"sign-unreadable":     "the sign column holds neither +, - nor a space",
	"status-bit":          "a status bit that the layout does not explain",
	"status-unexplained":  "a status that the format does not explain",
	"terminator-late":     "the frame stopped without a terminator",
	"terminator-missing":  "no terminator within max_len",
	"unit-goes-on":        "something follows the unit",
	"unit-missing":        "the format says that the gauge always sends its unit",
	"unit-unknown":        "a word that is no known unit",
}

// lineFault is what a decoder found, with the text that came from outside. A fault of a later release stands as it is.
func lineFault(f FrameFault) string {
	text, known := lineFaults[f.Fault]
	if !known {
		text = f.Fault
	}
	if f.Detail != "" {
		text = strings.TrimPrefix(text+": "+f.Detail, ": ")
	}
	if f.InARow {
		text += "; several line faults in a row: speed or parity is probably wrong"
	}
	return text
}

// Doubt is why it is not certain which gauge sent a value.
func (f WhichGauge) Doubt() string {
	switch f.Why {
	case "exchanged":
		return fmt.Sprintf("like adapters that only their sockets tell apart may have been exchanged: press the send key of gauge %q to "+
			"show which it is", f.Gauge)
	case "other-socket":
		return "in another socket than was thought"
	case "channel-changed":
		return fmt.Sprintf("it came from channel %s and what came before from channel %s: are there two gauges on this line?",
			f.Channel, f.Known)
	case "channel-unknown":
		return fmt.Sprintf("it came from channel %q, and the gauges of this line are on %s", f.Channel, f.Known)
	}
	return strings.TrimSpace(strings.Join([]string{f.Why, f.Gauge, f.Channel, f.Known}, " ")) // of another release
}
