// Package picture draws what is known of a batch, its ribs, pairs, jig and gauges, as data.
//
// The page shows these drawings and the report prints them, so both show the same. It leaves to others where
// a drawing stands and what is said beside it.
package picture
