package session

import "springline/qc/words"

// The codes of a refusal that a command may meet.
const (
	CodeBadJSON    = "bad_json"
	CodeBadOp      = words.CodeBadOp
	CodeBadValue   = words.CodeBadValue
	CodeMissing    = words.CodeMissing
	CodeUnknown    = words.CodeUnknown
	CodeNoBatch    = words.CodeNoBatch
	CodeNoRib      = words.CodeNoRib
	CodeExists     = words.CodeExists
	CodeComplete   = words.CodeComplete
	CodeSettled    = words.CodeSettled
	CodeConflict   = words.CodeConflict
	CodeKeyUsed    = words.CodeKeyUsed
	CodeHeld       = words.CodeHeld
	CodeNoStudy    = words.CodeNoStudy
	CodeStudyRuns  = words.CodeStudyRuns
	CodeIncomplete = words.CodeIncomplete
	CodeUnprovable = words.CodeUnprovable
)

// problem makes a refusal.
func problem(code, field, do, format string, args ...any) *words.Refusal {
	return words.Problem(code, field, do, format, args...)
}

// refused makes a refusal of what a domain rule refuses.
func refused(field string, err error) error { return words.Refused(field, err) }
