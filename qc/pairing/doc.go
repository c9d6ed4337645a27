// Package pairing finds the best mirrored pairs among measured ribs, proves that they are the best,
// and finds the order in which the pairs should stand.
//
// Everything is exact: costs are whole nanometres and the duals are scaled integers, so "optimal"
// means optimal for the stated integer cost. The package leaves to others: which ribs are fit to be
// paired (qc), who confirms a pair (session), and the checking of the proof (qc/pairing/certify,
// which shares no code with the solver).
package pairing
