// Package jig says what jig to build for a rib: the sheet for the yard, and the rules that put it together.
//
// Page and command line both ask here, so both print the same sheet. It leaves to others how a bar springs
// back (qc/bend) and how a sheet is set (typeset).
package jig
