// Package session is the bench: lock, arrival and clock. It binds each reading to a rib and a characteristic,
// stores it, then shows it, then wakes whoever listens.
//
// Below it, each in one package: log (kinds and bodies of events), store (the record file), book (what the record
// adds up to), doubt (whether a value counts by itself), derive (what follows), show (what people see), command
// (what a person may do) and rows (tables for SQL). Beside it stand device, which keeps gauges connected, and qc,
// which knows what a value means; above it session/web serves the page.
package session
