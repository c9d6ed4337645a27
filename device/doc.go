// Package device keeps gauges connected and delivers every reading once, in order, with the time it
// arrived and the bytes it came as: from a serial or network port, a recording, or a keyboard.
//
// A [Gauge] says where it is and how it writes. The [Hub] keeps all of them connected and delivers what
// happens to them on one channel: an [Update] is a change of [State] or a [Reading]. A [Recorder] writes
// down what a port sends; [ReadRecording] reads it back and a replay: address plays it as a gauge.
//
// It does not decode bytes (device/wire), open ports (device/port), decide what a reading is for
// (session), or store, show or judge anything.
//
// # Caveats
//
//   - Updates must be read until the channel is closed: a full channel makes gauges wait, it drops nothing.
//   - A gauge given by /dev/ttyUSB0 is followed as the adapter that was there first, not as the name.
//   - Adapters that only their sockets tell apart may have been exchanged while out of sight: their readings
//     then say so in Unsure until [Hub.Claim] or [Hub.Confirm] settles it.
package device
