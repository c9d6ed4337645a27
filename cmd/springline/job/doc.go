// Package job reads a job file: the target, gauges, stock lots, jig and batch that a maker states
// before the first rib, as TOML with lengths as typed at the bench ("2674", "6' 11 3/4\"", "12 mm").
//
// [Parse] gives a checked [Job] or an error that names the place in the file. A [Gauge] is a gauge as a file
// writes it. A number without quotes is no length, and an unknown name is an error: what was misspelt must
// not silently be left out.
//
// It parses and checks only; what is recorded of it is up to session.
package job
