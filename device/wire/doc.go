// Package wire turns the bytes a gauge sends into samples. It is pure: no I/O and no clock; time comes
// in with the bytes. One file per frame family, an explicit table in families.go.
package wire
