package strict

import "fmt"

// Codes of an [Error].
const (
	CodeBadJSON  = "bad_json"
	CodeBadType  = "bad_type"
	CodeRange    = "out_of_range"
	CodeUnknown  = "unknown_field"
	CodeMissing  = "missing_field"
	CodeRepeated = "repeated_field"
	CodeBadText  = "bad_text" // too long, or with characters that nobody can see
)

// Error says what is wrong with an object. Field is the JSON path of the field, empty when the object as a
// whole is at fault; Do what to do, where it is not plain.
type Error struct {
	Code    string `json:"code"`
	Message string `json:"message"`
	Field   string `json:"field,omitempty"`
	Do      string `json:"-"`
}

func (e *Error) Error() string {
	if e.Field == "" {
		return e.Message
	}
	return e.Field + ": " + e.Message
}

// Refuse makes an Error for a field whose value cannot be.
func Refuse(code, field, format string, args ...any) *Error {
	return &Error{Code: code, Field: field, Message: fmt.Sprintf(format, args...)}
}
