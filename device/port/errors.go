package port

import (
	"errors"
	"fmt"
)

// Code names why a port cannot be opened, read or written.
type Code string

// The codes; every error of this package that leaves it carries one.
const (
	BadAddress   Code = "bad_address"   // the text is no address
	BadMode      Code = "bad_mode"      // speed, data bits, parity or stop bits not possible
	Missing      Code = "missing"       // no such device: unplugged, or another name
	Busy         Code = "busy"          // someone else has the port
	NoPermission Code = "no_permission" // the device does not let this user in
	NotATTY      Code = "not_a_tty"     // a file, folder or device that is no serial port
	Unreachable  Code = "unreachable"   // no connection to a network port
	Gone         Code = "gone"          // the port went away while open
	Closed       Code = "closed"        // used after Close
	WriteStuck   Code = "write_stuck"   // a write was not taken in time; the port is given up
)

// Error says what was tried on which address, the cause, and what to do about it.
type Error struct {
	Code  Code
	Addr  string
	Cause string
	Do    string
	Err   error // the underlying error, if any
}

func (e *Error) Error() string {
	s := fmt.Sprintf("port %q: %s", e.Addr, e.Cause)
	if e.Do != "" {
		s += "; " + e.Do
	}
	return s
}

func (e *Error) Unwrap() error { return e.Err }

// CodeOf gives the code of an error made here, or "" for any other.
func CodeOf(err error) Code {
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Code
	}
	return ""
}
