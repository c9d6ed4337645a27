// Command springline is the bench-side measurement recorder for cold-bent arch ribs.
//
// main.go and root.go start a verb; each verb has a file of its own name, which holds its flags and its
// sub-verbs and nothing that another verb uses. What verbs share stands in here.go (this process and its data
// folder), out.go (what is printed and written), gauges.go and readings.go (gauges told on the command line).
// exit.go is the table of exit codes, part of the interface.
//
// Package wiring puts record, gauges and page together; package access is the way to a record that another
// process may hold; job reads the job file, calc answers scripts, demo runs the whole job on gauges that do
// not exist. The clock comes in from main and from nowhere else (clock_test.go).
package main
