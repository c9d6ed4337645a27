package main

import (
	"errors"
	"os"

	"springline/session/store"
)

// Exit codes, part of the interface: documented in README.md.
const (
	exitOK        = 0
	exitFailed    = 1
	exitUsage     = 2  // unusable arguments or job file
	exitRunning   = 4  // another springline has the data folder
	exitNewer     = 5  // the record was written by a newer springline
	exitIntegrity = 6  // the record does not hold together
	exitNoAccess  = 7  // no permission
	exitOut       = 10 // the report holds a rib that is not PASS
)

type usageError struct{ error }

func (e usageError) Unwrap() error { return e.error }

// codedError carries an exit code of its own.
type codedError struct {
	error
	code int
}

func (e codedError) Unwrap() error { return e.error }

// exitCode gives the documented code of an error.
func exitCode(err error) int {
	var coded codedError
	var usage usageError
	var open *store.OpenError
	switch {
	case errors.As(err, &coded):
		return coded.code
	case errors.As(err, &usage):
		return exitUsage
	case errors.As(err, &open):
		switch open.Fault {
		case store.FaultInUse:
			return exitRunning
		case store.FaultNewer:
			return exitNewer
		case store.FaultDamaged, store.FaultForeign:
			return exitIntegrity
		}
	}
	if errors.Is(err, os.ErrPermission) {
		return exitNoAccess
	}
	return exitFailed
}
