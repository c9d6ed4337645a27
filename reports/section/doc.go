// Package section words a judged batch for people: one function a section of the report.
//
// It leaves to others what is true of a rib (qc), what it looks like (picture) and how a section is set
// (typeset). All rounding and all wording of the report happens here. Numbers are printed to the resolution
// of the gauge, and finer where the rounded number would contradict its own limit.
package section
