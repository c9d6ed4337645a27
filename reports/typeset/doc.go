// Package typeset sets a sheet of headings, facts, tables and drawings on paper, as a page and as plain text.
//
// It leaves to others what a sheet says: it formats no number and chooses no word, so its writers cannot
// disagree. The bytes depend on nothing but the sheet, its faces and the paper.
package typeset
