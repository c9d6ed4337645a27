// Package pairing finds the best mirrored pairs among measured ribs, proves that they are the best,
// and finds the order in which the pairs should stand. It leaves to others which ribs are fit to be paired
// (qc), who confirms a pair (session), and the checking of the proof (qc/pairing/certify, which shares no
// code with the solver).
//
// Nouns. The mismatch of two ribs is how far they differ, the better way round; flip says that this is end for
// end. The cost adds the penalty of different lots. A locked pair is formed already, a forbidden one never. The
// certificate is the proof; the regret of a pair is what locking it now would cost.
//
// Caveats. Deviations are whole micrometres, costs whole nanometres and the duals scaled integers, so "optimal"
// means optimal for the stated integer cost. Equal pairings are common: [Problem].Prefer keeps one of them.
// While ribs arrive a proposal is provisional, and nothing should be sorted by it before it is locked.
package pairing
