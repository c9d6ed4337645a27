package pairing

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// tsplib reads coordinates and makes the rounded distances that TSPLIB calls EUC_2D.
func tsplib(t testing.TB, name string) [][]int64 {
	t.Helper()
	f, err := os.Open("testdata/tsplib/" + name + ".txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var x, y []float64
	for s := bufio.NewScanner(f); s.Scan(); {
		if strings.HasPrefix(s.Text(), "#") {
			continue
		}
		var i int
		var a, b float64
		if _, err := fmt.Sscan(s.Text(), &i, &a, &b); err != nil || i != len(x)+1 {
			t.Fatalf("%s: %q: %v", name, s.Text(), err)
		}
		x, y = append(x, a), append(y, b)
	}
	costs := make([][]int64, len(x))
	for i := range costs {
		costs[i] = make([]int64, len(x))
		for j := range costs[i] {
			costs[i][j] = int64(math.Sqrt((x[i]-x[j])*(x[i]-x[j])+(y[i]-y[j])*(y[i]-y[j])) + 0.5)
		}
	}
	return costs
}

// TestTSPLIB95Paths: shortest open paths of larger public instances, found by another program before
// (the tours of the same data are published: 675, 538, 21282 and 14379).
func TestTSPLIB95Paths(t *testing.T) {
	for _, c := range []struct {
		name string
		want int64
	}{{"st70", 631}, {"eil76", 514}, {"kroA100", 20405}, {"lin105", 13692}} {
		t.Run(c.name, func(t *testing.T) {
			costs := tsplib(t, c.name)
			p, err := ShortestPath(costs, PathOptions{})
			if err != nil {
				t.Fatal(err)
			}
			checkPath(t, costs, p)
			if p.Length != c.want {
				t.Errorf("length %d, bound %d, want %d", p.Length, p.LowerBound, c.want)
			}
			t.Logf("length %d, bound %d, proven %v", p.Length, p.LowerBound, p.Optimal)
		})
	}
}
