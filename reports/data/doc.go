// Package data is the report on a batch for programs: one document, as JSON and as CSV.
//
// It leaves to others what people read. Lengths are whole nanometres with their exact decimal text beside them;
// there are no binary fractions, and nothing is listed in map order.
package data
