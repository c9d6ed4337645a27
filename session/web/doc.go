// Package web is the bench page and its HTTP interface: it shows the state that the bench has stored
// and carries a person's commands to it.
//
// It leaves to others what a value means (qc), what is recorded and in which order (session), and what
// a report says (reports). The page judges nothing: every word and number on it was made by the bench.
//
// It is meant for loopback. There is no log-in, so whoever reaches the port may command the bench:
// [Listen] takes loopback addresses only, and every request must name one of them as its host, which
// is what keeps a hostile page from reaching the bench through a name of its own (DNS rebinding).
// Requests from other origins are refused, and no GET changes anything.
package web
