// Package length is an exact length, whole nanometres in an int64: reading what people and gauges
// write, rounding and printing, all in integers and exact fractions. It leaves to others which length is
// wanted, whether it is good enough and how a gauge sends it.
//
// Nouns. A [Length] is exact; its text is decimal millimetres. An entry is what was typed, in the spelling and
// unit of the person; a slip is a length that a wrong unit explains.
//
// Caveats. A length read from outside is within 100 m either way, so that sums of many stay far from overflow;
// arithmetic is plain int64 arithmetic. A float64 of millimetres is for curves only, never for a limit.
package length
