package words

import "fmt"

// Codes of a [Refusal].
const (
	CodeBadOp      = "bad-op"
	CodeBadValue   = "bad-value"  // a field that cannot be
	CodeMissing    = "missing"    // a field that is needed
	CodeUnknown    = "unknown"    // names something that is not on record
	CodeNoBatch    = "no-batch"   // nothing is open
	CodeNoRib      = "no-rib"     // no rib is on the bench
	CodeExists     = "exists"     // is there already
	CodeComplete   = "complete"   // measured already
	CodeSettled    = "settled"    // answered, voided or replaced already
	CodeConflict   = "conflict"   // the rib has moved on
	CodeKeyUsed    = "key-used"   // the key stands for another command
	CodeHeld       = "held"       // values wait for an answer
	CodeNoStudy    = "no-study"   // no gauge study is open
	CodeStudyRuns  = "study-runs" // values go to a gauge study now
	CodeIncomplete = "incomplete" // readings lack
	CodeUnprovable = "unprovable" // the gauges cannot prove the tolerance
)

// Refusal says why something was not carried out: What was tried, on what, and the cause; Do what to do.
// Nothing was recorded. Code and Field are for programs; Err is what a rule of the trade said.
type Refusal struct {
	Code     string
	Field    string
	What, Do Finding
	// On a conflict, both sides: the version that the command came with and what was to be done, the
	// version now and what is there.
	Yours, Now           int64
	YourValue, ValueThen string
	Err                  error
}

func (e *Refusal) Error() string {
	if do := e.ToDo(); do != "" {
		return e.Message() + "; " + do
	}
	return e.Message()
}

func (e *Refusal) Unwrap() error { return e.Err }

// Message is What in English.
func (e *Refusal) Message() string { return English.Say(e.What) }

// ToDo is Do in English, empty where there is nothing to do.
func (e *Refusal) ToDo() string { return English.Say(e.Do) }

// Refuse makes a refusal of findings; do may be nil.
func Refuse(code, field string, what, do Finding) *Refusal {
	return &Refusal{Code: code, Field: field, What: what, Do: do}
}

// Problem makes a refusal of sentences.
func Problem(code, field, do, format string, args ...any) *Refusal {
	e := Refuse(code, field, Prose{fmt.Sprintf(format, args...)}, nil)
	if do != "" {
		e.Do = Prose{do}
	}
	return e
}

// Refused makes a refusal of what a rule of the trade says of a field.
func Refused(field string, err error) *Refusal {
	e := Refuse(CodeBadValue, field, Prose{err.Error()}, nil)
	e.Err = err
	return e
}
