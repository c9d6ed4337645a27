// Package access lets a verb change the record of a data folder whether or not a bench is running.
//
// One process at a time holds the data folder. Where a bench has it, a [Way] goes through that bench's own
// HTTP interface, so that its page shows the change at once; where nobody has it, the way is the record itself,
// opened for the verb. A running bench leaves the address of its page in the folder ([Announce]).
package access
