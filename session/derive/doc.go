// Package derive works out what follows from the book: verdicts, pairs, run orders, the jig, the shape of a rib
// and drift. A [Set] answers for one published state; an answer is worked out when it is first asked for and kept
// while what it looks at stays as it was. Answers are values: session/show makes sentences and views of them.
package derive
