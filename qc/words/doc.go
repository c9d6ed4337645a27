// Package words says things to people: whatever was found has a code and typed arguments (a [Finding]), and
// here each becomes a sentence, one file a family and one [Language] a tongue.
//
// A sentence is said as to a helper on the other side of the jig: what is so, then what to do.
// A finding's code and the names of its arguments go on record and are never changed or used again;
// what is said of them may be worded better at any time. A release that does not know a code shows the
// code with its arguments.
//
// Numbers in what people read come from number.go: a true minus and ±, a space before the unit,
// decimals fixed by the step of what was measured, "1 rib" and "2 ribs", "a, b and c".
// It leaves the page's own labels, the help of the command line and the headings of reports to those who set them.
package words
