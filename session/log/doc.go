// Package log names what can happen at a bench: the kinds of events and the body of each, as they stand on the
// record. It leaves their order, their hashes and the disk to session/store, and what they add up to to
// session/book.
//
// A kind is past tense and is never renamed; a body only grows optional fields, so that every record ever
// written can be read. Lengths are whole nanometres (_nm), times microseconds of Unix time (_us). What was found
// is a code with its arguments (words.Said), never a sentence; the sentences of older records are read as prose.
package log
