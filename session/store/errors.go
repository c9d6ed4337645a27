package store

import (
	"errors"
	"fmt"
	"syscall"

	"modernc.org/sqlite"
)

// Fault says why a record cannot be opened.
type Fault string

// The reasons.
const (
	FaultForeign  Fault = "foreign"   // the file is not a record of this program
	FaultNewer    Fault = "newer"     // written by a newer version
	FaultInUse    Fault = "in use"    // another process has the folder
	FaultFolder   Fault = "folder"    // the data folder cannot be made, read or written
	FaultDiskFull Fault = "disk full" //
	FaultDamaged  Fault = "damaged"   // the file fails its own checks
	FaultEngine   Fault = "engine"    // the SQLite built in is unfit
)

// OpenError says why the record of a folder was not opened, and what to do. The file is untouched.
type OpenError struct {
	Fault Fault
	Path  string
	PID   int // of the process that has the folder, 0 when not known
	Cause string
	Do    string
	Err   error
}

func (e *OpenError) Error() string {
	return fmt.Sprintf("open the record %q: %s; %s", e.Path, e.Cause, e.Do)
}

func (e *OpenError) Unwrap() error { return e.Err }

// ErrNotSaved is wrapped by every error that says that something was not stored.
var ErrNotSaved = errors.New("NOT SAVED")

// NotSavedError says that a commit failed, now or earlier: from the first failed commit on nothing is
// stored until the record is opened again.
type NotSavedError struct {
	Cause error // of the first failed commit
}

func (e *NotSavedError) Error() string {
	return fmt.Sprintf("NOT SAVED: the record could not be written: %v; %s", e.Cause, remedy(e.Cause))
}

// Is makes errors.Is(err, ErrNotSaved) true.
func (e *NotSavedError) Is(target error) bool { return target == ErrNotSaved }

func (e *NotSavedError) Unwrap() error { return e.Cause }

// ErrKeyUsed says that the client key of a record is in the record already.
var ErrKeyUsed = errors.New("the key is in the record already")

// SQLite's primary result codes (sqlite.org/rescode.html).
const (
	codeBusy       = 5
	codeReadOnly   = 8
	codeIO         = 10
	codeCorrupt    = 11
	codeFull       = 13
	codeCantOpen   = 14
	codeConstraint = 19
	codeNotADB     = 26
)

// code is the primary result code of an SQLite error, 0 when err is none.
func code(err error) int {
	var e *sqlite.Error
	if errors.As(err, &e) {
		return e.Code() & 0xff
	}
	return 0
}

func remedy(err error) string {
	switch {
	case code(err) == codeFull, errors.Is(err, syscall.ENOSPC):
		return "make room on the disk, then start the bench again; what was acknowledged before is kept"
	case code(err) == codeReadOnly:
		return "the disk became read-only, often a failing card: copy the folder to another disk and start the bench from there"
	case code(err) == codeCorrupt, code(err) == codeNotADB:
		return "keep the file as it is and start the bench from the newest backup"
	}
	return "look at the disk, then start the bench again; what was acknowledged before is kept"
}

// openError turns an error met while opening path into an OpenError.
func openError(path string, err error) *OpenError {
	e := &OpenError{Path: path, Err: err, Cause: err.Error()}
	switch code(err) {
	case codeFull:
		e.Fault, e.Do = FaultDiskFull, "make room on the disk and start again"
	case codeReadOnly:
		e.Fault, e.Do = FaultFolder, "give this user the right to write the folder and the files in it, or name another folder"
	case codeCantOpen:
		e.Fault, e.Do = FaultFolder, "name a folder that this user may read and write"
	case codeNotADB:
		e.Fault, e.Do = FaultForeign, "name another folder, or move that file away"
	case codeCorrupt, codeIO:
		e.Fault, e.Do = FaultDamaged, "keep the file as it is and start from the newest backup"
	case codeBusy:
		e.Fault, e.Do = FaultInUse, "another program has the file open for writing; close it and start again"
	default:
		e.Fault, e.Do = FaultFolder, "name a folder on a local disk that this user may read and write"
		if errors.Is(err, syscall.ENOSPC) {
			e.Fault, e.Do = FaultDiskFull, "make room on the disk and start again"
		}
	}
	return e
}
