package qc

import (
	"time"

	"springline/qc/length"
)

// Bar is the bar that a rib is bent from.
type Bar struct {
	Diameter length.Length // nominal diameter: that of a plain bar of equal mass per length
	Grade    string        // as marked, such as B500B
	YieldMPa int           // the grade's nominal yield strength, a prior for the first jig only
}

// Lot is a bundle of bars of one heat, as delivered.
type Lot struct {
	ID        string
	Heat      string
	Grade     string
	BarLength length.Length
	Note      string
}

// Jig is one set-up of the block jig. A rebuilt or moved jig is a new set-up with a new ID.
type Jig struct {
	ID         string
	FaceRadius length.Length // of the block faces, which touch the inside of the bar
	Blocks     int
	Note       string
	At         time.Time
}
