// Package book is what the record adds up to: [Book] with its batches, ribs, gauges and studies, and
// [Book.Apply], which adds one record, live and on replay alike. It leaves questions about a value to
// session/doubt, what follows from all this to session/derive and what people see to session/show.
//
// Only this package writes the fields of its types (writers_test.go). Nothing here is a sentence, a page row, a
// cache, a device or a clock: the same records give the same book on any machine, on any day.
package book
