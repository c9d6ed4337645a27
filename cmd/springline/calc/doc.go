// Package calc is the scripting door: one JSON object a line in, one a line out. It owns the frame only:
// reading lines, refusing unknown, missing and impossible fields by name, and writing answers. It leaves to
// others what a number means (qc and below) and the process (cmd/springline).
//
// Nouns. A kind is one computation, declared with [New] from two structs; the files kinds_*.go adapt one
// subject each. Every field of the input struct is required unless its tag says `need:"no"`; the tag
// `doc:"..."` states meaning and unit and is printed by `springline calc --list`. An [*Error] is a refusal: a
// code for scripts, the field at fault, and a sentence.
//
// Caveats. A kind calls the very function that the bench calls, so that a case of testdata/checks binds the
// judge; the few that are there for scripts alone are named in bench_test.go. Unknown fields are errors at
// every depth. Kinds and fields are never renamed; an answer may grow fields.
package calc
