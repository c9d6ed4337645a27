// Package calc is the scripting door: one JSON object a line in, one a line out.
//
// It owns the frame only: reading lines, refusing unknown, missing and impossible fields by name,
// and writing answers. Every computation lives in the packages that the bench itself uses; the files
// kinds_*.go adapt them, one file per subject, each returning an explicit list of kinds.
//
// A kind is declared with [New] from two structs. Every field of the input struct is required unless
// its tag says `need:"no"`; the tag `doc:"..."` states meaning and unit and is printed by
// `springline calc --list`. Unknown fields are errors at every depth.
//
// The package leaves to others: what a number means (qc and below) and the process (cmd/springline).
package calc
