package pairing

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"testing"
)

// batch draws n ribs of n/40 lots with 5 stations a leg on a 10 micrometre grid: bending differs from
// lot to lot, and the stations of a leg go together. Invented data.
func batch(n int, seed uint64) Problem {
	rng := rand.New(rand.NewPCG(seed, 77))
	p := Problem{Metric: RMS, Objective: Sum, Weights: Weights{Tip: 1, Crown: 1, Stations: []int64{1, 1, 1, 1, 1}}}
	type lot struct{ tip, crown, shape, lean float64 }
	lots := make([]lot, max(1, n/40))
	for i := range lots {
		lots[i] = lot{rng.NormFloat64() * 1500, rng.NormFloat64() * 700, rng.NormFloat64() * 700, rng.NormFloat64() * 200}
	}
	for i := range n {
		l := rng.IntN(len(lots))
		at := lots[l]
		r := Rib{ID: strconv.Itoa(i), Lot: strconv.Itoa(l)}
		put := func(x float64) { r.Dev = append(r.Dev, int32(x/10)*10) }
		shape, lean := at.shape+rng.NormFloat64()*400, at.lean+rng.NormFloat64()*300
		put(at.tip + rng.NormFloat64()*900)
		put(at.crown + rng.NormFloat64()*500)
		for _, side := range []float64{1, -1} {
			for _, f := range []float64{0.5, 0.9, 1.1, 0.9, 0.5} {
				put(f*(shape+side*lean) + rng.NormFloat64()*250)
			}
		}
		p.Ribs = append(p.Ribs, r)
	}
	return p
}

func BenchmarkSolve(b *testing.B) {
	for _, n := range []int{100, 200, 500, 1000, 1001, 2000, 10000} {
		p := batch(n, 1)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Solve(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
