// Package simgauge is a gauge that does not exist: it writes bytes into a real pty, or a TCP port where
// there is no pty, and can be unplugged and plugged in again under another name.
//
// It decodes nothing and knows nothing of readings; what it sends is what it was told to send.
package simgauge
