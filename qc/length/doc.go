// Package length is an exact length, whole nanometres in an int64, with parsing and printing.
package length
