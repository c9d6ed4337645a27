package pairing

import (
	"math/rand/v2"
	"strconv"
)

// randomProblem draws ribs of a few lots on a grid (so that ties are common), at times with
// duplicates, limits, forbidden, locked and preferred pairs, both metrics and both objectives.
func randomProblem(rng *rand.Rand, n int) Problem {
	k := rng.IntN(4)
	grid := int32(1)
	switch rng.IntN(3) {
	case 0:
		grid = 10
	case 1:
		grid = 500
	}
	p := Problem{Metric: RMS + Metric(rng.IntN(2)), Objective: Sum + Objective(rng.IntN(2))}
	p.Weights = Weights{Tip: int64(rng.IntN(4)), Crown: int64(1 + rng.IntN(3))}
	for range k {
		p.Weights.Stations = append(p.Weights.Stations, int64(rng.IntN(4)))
	}
	lots := 1 + rng.IntN(3)
	spread := 300 + 2000*rng.Float64()
	centre := make([][]float64, lots)
	for l := range centre {
		for range 2 + 2*k {
			centre[l] = append(centre[l], rng.NormFloat64()*spread*2*rng.Float64())
		}
	}
	for i := range n {
		l := rng.IntN(lots)
		r := Rib{ID: strconv.Itoa(i), Lot: "lot " + strconv.Itoa(l)}
		for j := range 2 + 2*k {
			r.Dev = append(r.Dev, int32(centre[l][j]+rng.NormFloat64()*spread)/grid*grid)
		}
		if i > 0 && rng.IntN(12) == 0 {
			r.Dev = append([]int32(nil), p.Ribs[rng.IntN(i)].Dev...)
		}
		p.Ribs = append(p.Ribs, r)
	}
	if rng.IntN(3) == 0 {
		p.LotPenalty = rng.Int64N(1_000_000)
	}
	if rng.IntN(2) == 0 {
		limit := int64(float64(rng.IntN(3000))*spread*rng.Float64()) / 1000 * 1000
		p.Limit = &limit
	}
	two := func() [2]int {
		a := rng.IntN(n)
		b := (a + 1 + rng.IntN(n-1)) % n
		return [2]int{a, b}
	}
	if n > 2 && rng.IntN(3) == 0 {
		used := map[int]bool{}
		banned := map[[2]int]bool{}
		for range rng.IntN(n * n / 2) {
			q := two()
			p.Forbidden = append(p.Forbidden, q)
			banned[pairKey(q[0], q[1])] = true
		}
		for range rng.IntN(3) {
			q := two()
			if !used[q[0]] && !used[q[1]] && !banned[pairKey(q[0], q[1])] {
				used[q[0]], used[q[1]] = true, true
				p.Locked = append(p.Locked, q)
			}
		}
	}
	if n > 2 && rng.IntN(3) == 0 {
		for range rng.IntN(n) {
			p.Prefer = append(p.Prefer, two())
		}
	}
	return p
}
