package workshop

import (
	"testing"
)

func TestWorkshop(t *testing.T) {
	for seed := range uint64(24) {
		h := draw(seed)
		r, err := h.Run(seed, nil)
		if err != nil {
			t.Fatal(err)
		}
		t.Logf("seed %d: %d of %d good, %.2f pulls, %.2f wraps a rib, %d wasted in %d lots, %d refused; bar %.1f mem %d R0 %.1f Rmin %.1f b %.3f barSD %.4f band %.1f ", seed, r.Good, r.Ribs,
			float64(r.Pulls)/float64(r.Ribs), float64(r.Wraps)/float64(r.Ribs), r.Wasted, r.Lots, r.Refused, h.Diameter, h.Steel.memory, h.Steel.r0, h.Steel.r0-h.Steel.a1, h.Steel.b, h.BarSD, h.Band)
	}
}

func TestOne(t *testing.T) {
	h := draw(3)
	if _, err := h.Run(3, t.Logf); err != nil {
		t.Fatal(err)
	}
}
