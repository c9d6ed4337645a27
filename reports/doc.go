// Package reports turns a batch into its pass/fail report: one printable model, built once, and
// writers for PDF, HTML, plain text, CSV and JSON that only set out what the model says.
//
// It leaves to others what is true of a rib (qc), where the record lies (session) and where the bytes
// go (its callers).
//
// All rounding and all wording happens in [New]: a writer formats no number and chooses no word, so
// the writers cannot disagree. The batch's AsOf is the only time a report knows and nothing is listed
// in map order, so the same record gives the same bytes on every machine. Numbers are printed to the
// resolution of the gauge, and finer where the rounded number would contradict its own limit.
package reports
