// Package wire turns the bytes a gauge sends into samples. Opening ports, reading them and telling the
// time are left to others: it is pure, has no I/O and no clock, and time comes in with the bytes.
//
// A [Format] says how a gauge writes; [NewDecoder] makes a [Decoder] of it. Feed gives the events of
// bytes that arrived, Tick those of silence, NextTick when to look again. Each event is a [Sample] or
// a [FrameError]. A sample comes only from a frame that is whole, clean and in the form that the format
// says; whatever else arrives is an error with its reason. Nothing is guessed, masked, clamped or
// turned into zero, and every digit of a value stands in the frame.
//
// One file per frame family; the table is in families.go. [Infer] finds a format from values that a person
// read from the display; [Replay] decodes a whole recording.
//
// # Caveats
//
//   - A decoder belongs to one opening of a port: bytes soon after opening may be the tail of an old frame.
//   - The unit that counts by itself is bound by the format or by the first frame; another unit then waits
//     for a person.
//   - Raw and the slices of an event may be kept: they are not written again.
package wire
