// Package checks holds what is demanded of the whole tree: kept lists and the tests that read them.
package checks
