// Package command is what a person may do: one struct a verb, one row a verb in [Table]. A row says from where the
// verb may come, of what it carries the version, how it is read strictly from JSON, and how it is decided at a
// [Desk]. Deciding gives the event to record or a refusal; recording it is the bench's.
//
// A new verb is a kind with its body in session/log, its step in session/book, its struct, decision and row here,
// and a button or flag with its words.
package command
