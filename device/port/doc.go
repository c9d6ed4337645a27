// Package port opens one serial port, raw network port or RFC 2217 port and hands over its bytes with
// their arrival time; it also lists ports and finds a gauge again by what it is, not by its name.
//
// An [Address] says what to open and a [Mode] how a serial line is set. [Open] gives a [Port], whose
// Chunks end when it is gone. A [Device] is what is plugged in now, with the [Identity] by which [Resolve]
// finds it after it was unplugged; [Watch] tells when something comes or goes. Every error is an [*Error]
// with a [Code] and what to do.
//
// It knows nothing of frames, readings or gauges, never retries, and has no clock of its own: whoever
// opens a port reconnects it, decodes its bytes and passes the clock in.
//
// # Caveats
//
//   - Ports are listed from sysfs and none is opened for it: opening sets DTR and restarts some adapters.
//   - The kernel lets two programs read one port and each then loses bytes: ours keep off each other by lock
//     files in [LockFolder].
//   - A write after close would go to whatever file got the descriptor: all of it goes through [Port].
package port
