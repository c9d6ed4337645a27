package stats_test

import (
	"fmt"
	"math"

	"springline/qc/stats"
)

// The end gauge of JCGM 100:2008, H.1, by its printed contributions in nanometres and their degrees of freedom.
func ExampleCombine() {
	b, err := stats.Combine(0.99, []stats.Part{
		{Name: "standard", U: 25, Dof: 18}, {Name: "difference", U: 9.7, Dof: 25.6},
		{Name: "expansion", U: 2.9, Dof: 50}, {Name: "temperature", U: 16.6, Dof: 2},
	})
	fmt.Printf("u %.0f nm on %.0f degrees of freedom, k %.2f, U %.0f nm, %v\n", b.U, math.Floor(b.Dof), b.Coverage, b.Expanded, err)
	// Output: u 32 nm on 16 degrees of freedom, k 2.92, U 93 nm, <nil>
}

// Nine values in a row on one side of the mean, in standard deviations from it.
func ExampleChartRule_First() {
	z := []float64{-0.2, 0.3, 0.1, 0.4, 0.2, 0.6, 0.3, 0.2, 0.5, 0.1}
	fmt.Println(stats.Nelson2.First(z), stats.Nelson1.First(z))
	// Output: 10 0
}
