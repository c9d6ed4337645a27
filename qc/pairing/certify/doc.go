// Package certify checks that a pairing is the best one, from its proof alone.
//
// It computes every cost anew from the measured deviations by the definition, in whole numbers, and
// looks at all pairs; it shares no code with any solver and trusts none. It leaves to others how the
// pairs and the proof were found (qc/pairing) and what is done with them.
package certify
