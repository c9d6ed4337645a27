// Package strict reads one JSON object into one typed struct, and says what each field wants.
//
// It takes less than encoding/json does: a name stands once and in exact case, an unknown one is refused with the
// list of those there are, a missing one is named, null is no value, a number fits its type, a text keeps within
// its length and holds no control characters, and nothing follows the object. What a program sends wrongly is
// named by its path and never half taken.
//
// Tags of a field: json its name; need:"no" it may be left out; most the length of a text (or of each text of a
// list) in characters; lines:"yes" a text may have several lines; least the smallest whole number; doc what it is.
package strict
