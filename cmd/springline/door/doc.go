// Package door lets a verb change the record whether or not a bench is running.
//
// One process at a time holds the data folder. Where a bench has it, the door goes through that bench's own
// HTTP interface, so that its page shows the change at once; where nobody has it, the door opens the record
// itself. A running bench leaves the address of its page in the folder ([Announce]).
package door
