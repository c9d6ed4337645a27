package length

import "fmt"

// Code says why a text is not a length. The words are part of the scripting door and of the pages.
type Code string

// The reasons for refusing a text.
const (
	AmbiguousSeparator       Code = "ambiguous_separator"         // 1,234 may be 1234 or 1.234
	BadGrouping              Code = "bad_grouping"                // 12,34,567
	AmbiguousSpace           Code = "ambiguous_space"             // 1 850 may be one number or two
	FractionNeedsInch        Code = "fraction_needs_inch"         // 11 3/4 where millimetres are meant
	FractionalFeetWithInches Code = "fractional_feet_with_inches" // 6.5' 3"
	InchesOutOfRange         Code = "inches_out_of_range"         // 6' 13", 1'850
	ImproperFraction         Code = "improper_fraction"           // 113/4" may be 11 3/4 that lost its space
	BadDenominator           Code = "bad_denominator"             // 1/3"
	AmbiguousUnit            Code = "ambiguous_unit"              // 5 mil, a bare number where feet are meant
	MixedUnits               Code = "mixed_units"                 // 2m 15cm
	NegativeNotAllowed       Code = "negative_not_allowed"
	ExponentNotAllowed       Code = "exponent_not_allowed"
	Empty                    Code = "empty"
	BadNumber                Code = "bad_number"
	BadCharacter             Code = "bad_character"
	OutOfRange               Code = "out_of_range" // beyond 100 m, or more than 40 characters
	BadUnit                  Code = "bad_unit"     // a gauge or an option names a unit unknown here
	Inexact                  Code = "inexact"      // a gauge value finer than a nanometre
)

// ParseError is a text refused as a length: why, which text, and what to write instead.
type ParseError struct {
	Code    Code
	Text    string // as given
	Message string // the cause and what to do, without the text
}

func (e *ParseError) Error() string {
	return fmt.Sprintf("read %q as a length: %s", e.Text, e.Message)
}

// refusal is a ParseError before its text is known.
func refusal(code Code, format string, args ...any) *ParseError {
	return &ParseError{Code: code, Message: fmt.Sprintf(format, args...)}
}
