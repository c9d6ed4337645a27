// Package qc holds the words and rules of the trade: rib, target, gauge, measurement, deviation and
// verdict, with no input or output and no clock. Geometry is left to qc/arch, mechanics to qc/bend,
// statistics to qc/stats, matching to qc/pairing, and everything that is stored or shown to others.
//
// The words:
//
//   - A rib is one bent bar: leg A, arc, leg B. Leg A is the leg bent first, marked with a paint band.
//   - A target is the wanted rib. It is revised, never edited: (ID, Revision) names one for good.
//   - A characteristic is one thing measured on a rib; the round is the ordered list of them.
//   - A reading is a value as received; a measurement is a reading bound to a rib and a characteristic.
//   - A deviation is measured minus target: positive is larger, or outside the curve; negative is smaller, or inside it.
//   - A gauge study is several people measuring the same ribs with one gauge in a blind order, each rib several times:
//     repeatability is how far one person's readings of one rib differ, reproducibility what people add to it.
//   - A verdict covers the whole rib: PASS, RE-BEND, RE-MEASURE or REJECT. A rib with an open
//     characteristic has no verdict yet and is never passed.
//
// The rules: limits are inclusive and compared as whole nanometres; nothing is deleted, a void or a
// repeated measurement is one more record; a verdict states its rule, its uncertainty and what it
// covers. Millimetres in float64 live inside one function and the function says so.
package qc
