// Package device keeps gauges connected and delivers every reading once, in order, with the time it
// arrived and the bytes it came as: from a serial or network port, a recording, a keyboard or a person.
//
// It does not decode bytes (device/wire), open ports (device/port), decide what a reading is for
// (session), or store, show or judge anything.
package device
