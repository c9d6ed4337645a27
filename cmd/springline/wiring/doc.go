// Package wiring puts a bench together: record, gauges and page, from a data folder and a job.
//
// It only wires. What a reading is comes from device, what happens at the bench from session, what is
// shown from session/web and reports.
package wiring
