// Package length is an exact length, whole nanometres in an int64: reading what people and gauges
// write, checked arithmetic, rounding and printing, all in integers and exact fractions.
//
// It leaves to others which length is wanted, whether it is good enough and how a gauge sends it.
package length
