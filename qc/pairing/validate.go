package pairing

import (
	"fmt"
	"math"
)

// Sizes beyond which sums of costs would not be safe in 64 bits, or that no batch of ribs reaches.
const (
	maxRibs     = 30_000
	maxStations = 1_000
	// maxDev is a metre; the square of twice that in nanometres still fits.
	maxDev = 1_000_000
	// maxSquare bounds total weight times the square of the largest deviation; eight times that is
	// the largest sum of squares formed.
	maxSquare = 1 << 56
	// maxCost bounds a single cost in nanometres; see lambdaLimit for what is built from it.
	maxCost = int64(1) << 45
)

func pairKey(a, b int) [2]int {
	if a > b {
		a, b = b, a
	}
	return [2]int{a, b}
}

// validate refuses whatever cannot be a question, naming the field and the rib.
func (p *Problem) validate() error {
	if p.Metric != RMS && p.Metric != Max {
		return refuse("bad_value", "metric", "", "must be rms or max")
	}
	if p.Objective != Sum && p.Objective != WorstThenSum {
		return refuse("bad_value", "objective", "", "must be sum or worst_then_sum")
	}
	if p.Limit != nil && *p.Limit < 0 {
		return refuse("out_of_range", "limit_nm", "", "is %d; a mismatch is never negative", *p.Limit)
	}
	if p.LotPenalty < 0 || p.LotPenalty > maxCost {
		return refuse("out_of_range", "lot_penalty_nm", "", "is %d; must be 0 to %d", p.LotPenalty, maxCost)
	}
	total, err := p.Weights.validate()
	if err != nil {
		return err
	}
	if err := p.validateRibs(total); err != nil {
		return err
	}
	return p.validatePairs()
}

func (w *Weights) validate() (total int64, err error) {
	if len(w.Stations) > maxStations {
		return 0, refuse("out_of_range", "weights.stations", "", "has %d stations; the most is %d", len(w.Stations), maxStations)
	}
	check := func(field string, v, times int64) error {
		if v < 0 || v > math.MaxInt32 {
			return refuse("out_of_range", field, "", "is %d; must be 0 to %d", v, math.MaxInt32)
		}
		total += v * times
		return nil
	}
	if err := check("weights.tip", w.Tip, 1); err != nil {
		return 0, err
	}
	if err := check("weights.crown", w.Crown, 1); err != nil {
		return 0, err
	}
	for i, s := range w.Stations {
		if err := check(fmt.Sprintf("weights.stations[%d]", i), s, 2); err != nil {
			return 0, err
		}
	}
	if total == 0 {
		return 0, refuse("out_of_range", "weights", "", "are all zero; give at least one a weight")
	}
	return total, nil
}

func (p *Problem) validateRibs(totalWeight int64) error {
	if len(p.Ribs) > maxRibs {
		return refuse("out_of_range", "ribs", "", "are %d; the most is %d", len(p.Ribs), maxRibs)
	}
	k := len(p.Weights.Stations)
	seen := make(map[string]int, len(p.Ribs))
	var most int64
	at, where := 0, 0
	for i, r := range p.Ribs {
		field := fmt.Sprintf("ribs[%d]", i)
		if r.ID == "" {
			return refuse("missing_id", field+".id", "", "is empty; a rib needs a name")
		}
		if j, twice := seen[r.ID]; twice {
			return refuse("repeated_id", field+".id", r.ID, "%q is also ribs[%d]", r.ID, j)
		}
		seen[r.ID] = i
		if len(r.Dev) != 2+2*k {
			return refuse("wrong_count", field+".dev_um", r.ID,
				"rib %q has %d deviations; tip, crown and %d stations a leg make %d: measure the missing ones or drop the rib", r.ID, len(r.Dev), k,
				2+2*k)
		}
		for j, d := range r.Dev {
			a := abs(int64(d))
			if a > maxDev {
				return refuse("out_of_range", fmt.Sprintf("%s.dev_um[%d]", field, j), r.ID,
					"rib %q deviates by %d micrometres, more than a metre: check the reading", r.ID, d)
			}
			if a > most {
				most, at, where = a, i, j
			}
		}
	}
	if most == 0 {
		return nil
	}
	worst := 2000 * most
	if p.Metric == Max {
		w := max(p.Weights.Tip, p.Weights.Crown)
		for _, s := range p.Weights.Stations {
			w = max(w, s)
		}
		if w > maxCost/worst {
			worst = maxCost
		} else {
			worst *= w
		}
	}
	if most > maxSquare/most/totalWeight || worst+p.LotPenalty > maxCost {
		r := p.Ribs[at]
		return refuse("out_of_range", fmt.Sprintf("ribs[%d].dev_um[%d]", at, where), r.ID,
			"rib %q deviates by %d micrometres, too much to compute with under these weights: check the reading, or divide the weights", r.ID,
			r.Dev[where])
	}
	return nil
}

func (p *Problem) validatePairs() error {
	n := len(p.Ribs)
	known := func(list string, i int, q [2]int) error {
		for j, r := range q {
			if r < 0 || r >= n {
				return refuse("unknown_rib", fmt.Sprintf("%s[%d][%d]", list, i, j), "", "there is no rib %d; the ribs are 0 to %d", r, n-1)
			}
		}
		if q[0] == q[1] {
			return refuse("same_rib", fmt.Sprintf("%s[%d]", list, i), p.Ribs[q[0]].ID, "rib %q cannot be paired with itself", p.Ribs[q[0]].ID)
		}
		return nil
	}
	forbidden := make(map[[2]int]bool, len(p.Forbidden))
	for i, q := range p.Forbidden {
		if err := known("forbidden", i, q); err != nil {
			return err
		}
		forbidden[pairKey(q[0], q[1])] = true
	}
	for i, q := range p.Prefer {
		if err := known("prefer", i, q); err != nil {
			return err
		}
	}
	locked := make(map[int]int, 2*len(p.Locked))
	for i, q := range p.Locked {
		if err := known("locked", i, q); err != nil {
			return err
		}
		if forbidden[pairKey(q[0], q[1])] {
			return refuse("contradiction", fmt.Sprintf("locked[%d]", i), p.Ribs[q[0]].ID,
				"ribs %q and %q are locked together and forbidden to be a pair: release the lock or allow the pair", p.Ribs[q[0]].ID, p.Ribs[q[1]].ID)
		}
		for j, r := range q {
			if first, twice := locked[r]; twice {
				return refuse("contradiction", fmt.Sprintf("locked[%d][%d]", i, j), p.Ribs[r].ID,
					"rib %q is locked already by locked[%d]: release one of the two", p.Ribs[r].ID, first)
			}
			locked[r] = i
		}
	}
	return nil
}
