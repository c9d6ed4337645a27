// Package reports turns a batch into its pass/fail report: judged once, worded once, and written as PDF, HTML,
// plain text, CSV or JSON.
//
// It leaves to others what is true of a rib (qc), what each section says (section), how it is set (typeset),
// where the record lies (session) and where the bytes go (its callers). The batch's AsOf is the only time a
// report knows, so the same record gives the same bytes on every machine.
package reports
