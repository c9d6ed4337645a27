package workshop

import (
	"errors"
	"math"
	"math/rand/v2"
)

// Nominal makes the same plant without learning: the jig from one test bend's apparent yield, and every
// pull as the section rules give it for a rib fresh off the jig. It is what the advice is compared with.
func (h Hidden) Nominal(seed uint64) (Result, error) {
	r := rand.New(rand.NewPCG(seed, 991))
	phi := h.Arc / 2 / h.Wanted
	target := 2 * (h.Wanted*math.Sin(phi) + h.Leg*math.Cos(phi))
	res := Result{Lots: h.Lots}
	lotYield := 1.0
	for lot := range h.Lots {
		if lot > 0 {
			lotYield *= math.Exp(h.LotSD * r.NormFloat64())
		}
		b := h.bench(r, lotYield)
		var j struct {
			Face  float64 `json:"jig_face_radius_mm"`
			Yield float64 `json:"apparent_yield_mpa"`
		}
		if err := door("bar.jig_radius", obj{"diameter_mm": h.Diameter, "modulus_mpa": 200e3, "yield_mpa": h.Grade, "hardening_mpa": 2000,
			"wanted_radius_mm": h.Wanted}, &j); err != nil {
			return res, err
		}
		j.Yield = h.Grade
		for range 3 {
			p := b.newPiece()
			b.wrap(p, j.Face)
			t, _ := b.read(p)
			if math.Abs(t-target) <= Tolerance {
				break
			}
			res.Wasted++
			if err := door("bar.test_bend", obj{"diameter_mm": h.Diameter, "modulus_mpa": 200e3, "jig_face_radius_mm": j.Face, "leg_mm": h.Leg,
				"arc_mm": h.Arc, "tip_to_tip_mm": t, "wanted_radius_mm": h.Wanted}, &j); err != nil {
				return res, err
			}
		}
		for range h.Ribs {
			p := b.newPiece()
			b.wrap(p, j.Face)
			t, _ := b.read(p)
			for range maxActions {
				if math.Abs(t-target) <= Tolerance {
					break
				}
				var m struct {
					Loaded float64 `json:"tip_to_tip_loaded_mm"`
				}
				err := door("rib.set", obj{"diameter_mm": h.Diameter, "modulus_mpa": 200e3, "yield_mpa": j.Yield, "hardening_mpa": 2000,
					"jig_centre_radius_mm": j.Face + h.Diameter/2, "leg_mm": h.Leg, "arc_mm": h.Arc, "set_mm": t - target}, &m)
				var refused *refusedError
				if errors.As(err, &refused) {
					break
				}
				if err != nil {
					return res, err
				}
				res.Pulls++
				p.pull(m.Loaded + h.HandSD*r.NormFloat64())
				t, _ = b.read(p)
			}
			truth, _ := p.shape()
			res.Ribs++
			if math.Abs(truth-target) <= Tolerance {
				res.Good++
			}
		}
	}
	return res, nil
}
