package pairing_test

import (
	"fmt"

	"springline/qc/pairing"
)

// Four ribs with one station a side: 01 and 03 are mirror images, so one of them is turned end for end.
func ExampleSolve() {
	r, err := pairing.Solve(pairing.Problem{
		Metric: pairing.RMS, Objective: pairing.WorstThenSum, Weights: pairing.Weights{Tip: 2, Crown: 1, Stations: []int64{1}},
		Ribs: []pairing.Rib{
			{ID: "01", Dev: []int32{3000, -1000, 2000, -1500}}, {ID: "02", Dev: []int32{-4000, 500, 300, 100}},
			{ID: "03", Dev: []int32{3000, -1000, -1500, 2000}}, {ID: "04", Dev: []int32{-4500, 0, 0, 400}},
		},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, p := range r.Pairs {
		fmt.Printf("%d with %d, turned %v, %d nm apart\n", p.A, p.B, p.Flip, p.Mismatch)
	}
	fmt.Println("proven:", r.Optimal)
	// Output:
	// 0 with 2, turned true, 0 nm apart
	// 1 with 3, turned true, 392428 nm apart
	// proven: true
}
