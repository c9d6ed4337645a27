// Package session is the bench: it binds each reading to a rib and a characteristic, stores it, and
// only then tells whoever listens.
//
// Everything that happens is an event (event.go), appended to the record before it is shown and never
// changed or deleted. The state (state.go) is what the events add up to: state.apply is the only
// code that changes it, live and on replay alike. Gauges belong to device, the file to session/store,
// the page to session/web, and what a value means to qc.
package session
