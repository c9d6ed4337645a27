// Package rows makes tables of the record for those who read with SQL, on demand and never beside a reading. They
// say nothing that the record does not.
package rows
