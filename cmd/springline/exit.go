package main

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
