// Package port opens one serial port, raw network port or RFC 2217 port and hands over its bytes with
// their arrival time; it also lists ports and finds a gauge again by what it is, not by its name.
//
// It knows nothing of frames, readings or gauges, never retries, and has no clock of its own: whoever
// opens a port reconnects it, decodes its bytes and passes the clock in.
package port
