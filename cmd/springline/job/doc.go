// Package job reads a job file: the target, gauges, stock lots, jig and batch that a maker states
// before the first rib, as TOML with lengths as typed at the bench ("2674", "6' 11 3/4\"", "12 mm").
//
// It parses and checks only; what is recorded of it is up to session.
package job
