// Package demo is the README's main job on gauges that do not exist: a boardwalk shelter of a wetland
// reserve, 24 ribs and one spare bar out of three stock lots.
//
// People, places and numbers are invented. The ribs come from the bending mechanics with lot and bar
// scatter, jig drift and left/right error (plant.go); simulated gauges write their readings as bytes
// into real ptys, and the bench that reads them is the one that every job uses.
package demo
