package workshop

import (
	"math"
	"math/rand/v2"
)

// draw makes a plant from a seed; nothing in it is told to the advice but the order. The first two dozen
// have steel by the fibre, jigs that creep and hands that miss a little; the later ones range wider in
// every number and differ in kind, see wide.
func draw(seed uint64) Hidden {
	r := rand.New(rand.NewPCG(seed, 77))
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	orders := []Hidden{
		{Diameter: 12, Grade: 500, Leg: 900, Arc: 4200, Wanted: 1337},
		{Diameter: 12.7, Grade: 420, Leg: 1219, Arc: 3658, Wanted: 1164},
		{Diameter: 10, Grade: 500, Leg: 700, Arc: 2600, Wanted: 828},
		{Diameter: 16, Grade: 460, Leg: 800, Arc: 4600, Wanted: 1500},
		{Diameter: 9.5, Grade: 420, Leg: 600, Arc: 3000, Wanted: 960},
		{Diameter: 8, Grade: 500, Leg: 500, Arc: 2200, Wanted: 700},
	}
	h := orders[r.IntN(len(orders))]
	h.Steel = steel{modulus: u(195e3, 205e3), yield: h.Grade * u(1.0, 1.25), b: u(0.002, 0.02), r0: u(5, 20), a2: u(0.1, 0.3)}
	h.Steel.a1 = h.Steel.r0 - u(1.8, 6)
	if h.Steel.a1 < 0 {
		h.Steel.a1 = 0
	}
	h.Steel.memory = memory(r.IntN(4))
	h.Lots = 2 + r.IntN(3)
	h.Ribs = 24 / h.Lots
	h.LotSD, h.BarSD, h.DiameterSD = u(0.01, 0.05), u(0.002, 0.012), u(0, 0.003)
	h.Blocks, h.Bulge, h.Lever = 9+2*r.IntN(8), u(0, 0.15), h.Leg*u(0.6, 1.0)
	h.BuildSD, h.Drift, h.Band = u(0, 1), u(-0.06, 0.06), u(1, 8)
	h.HandSD = u(0, 4)
	h.ReAdvise = r.IntN(2) == 1
	h.JumpAt = -1
	if seed >= 24 {
		h.widen(r)
	}
	return h
}

// wide is what the later plants may have on top.
type wide struct {
	Whole            bool // the section in one piece, without fibres
	WholeR0, WholeA1 float64
	RootKink         float64 // hinge at each leg's root, rad
	Jump             float64 // by which a block slips, mm
	JumpAt           int     // bar of each lot at which it does
	Relay            bool    // every reading is the mean of two lays
	Reread           bool    // the rib is read afresh each time it is asked about
	TestsOnly        bool    // the advice hears of the test bars only, and of no rib's way off the jig
	Achieved         bool    // the spacing under load is reported as it was reached
	NoCross          bool    // the legs are never crossed by hand
}

func (h *Hidden) widen(r *rand.Rand) {
	u := func(a, b float64) float64 { return a + (b-a)*r.Float64() }
	one := func(in int) bool { return r.IntN(in) == 0 }
	// Any rib from a squat bow to a hoop with legs.
	if one(2) {
		d := []float64{8, 9.5, 10, 12, 12.7, 14, 15.9, 16}[r.IntN(8)]
		grade := []float64{280, 420, 460, 500, 500}[r.IntN(5)]
		ry := 200e3 * d / (2 * grade)
		h.Diameter, h.Grade, h.Wanted = d, grade, ry*u(0.3, 0.62)
		h.Arc, h.Leg = h.Wanted*u(2.2, 3.9), h.Wanted*u(0.2, 1.1)
		h.Steel.yield = grade * u(1.0, 1.3)
		h.Lever = h.Leg * u(0.6, 1)
	}
	h.Steel.b = u(0, 0.03)
	h.LotSD, h.BarSD = u(0, 0.06), math.Exp(u(math.Log(0.001), math.Log(0.03)))
	h.Drift, h.Bulge = u(-0.12, 0.12), u(0, 0.25)
	h.Band, h.Relay = u(1.5, 10), one(2)
	h.Reread, h.TestsOnly, h.Achieved, h.NoCross = one(3), one(6), one(2), one(4)
	if one(3) {
		h.Whole, h.WholeR0 = true, u(1.8, 5)
		h.WholeA1 = h.WholeR0 * u(0, 0.6)
	}
	if one(3) {
		h.Lever = 0
		if one(2) {
			h.RootKink = u(0, 0.08)
		}
	}
	if one(6) {
		h.Jump, h.JumpAt = u(-3, 3), 2+r.IntN(6)
	}
	switch r.IntN(4) {
	case 0:
		h.Lots, h.Ribs = 1, 24
	case 1:
		h.Lots, h.Ribs = 6, 4
	}
}
