package pairing

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// tsplib reads coordinates and makes the rounded distances that TSPLIB calls EUC_2D, or for places on the
// earth those that it calls GEO (its report of 1995, section 2.4, which has pi as 3.141592).
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
	between := func(i, j int) int64 {
		return int64(math.Sqrt((x[i]-x[j])*(x[i]-x[j])+(y[i]-y[j])*(y[i]-y[j])) + 0.5)
	}
	if strings.HasPrefix(name, "ulysses") {
		radians := func(v float64) float64 { return 3.141592 * (math.Trunc(v) + 5*(v-math.Trunc(v))/3) / 180 }
		between = func(i, j int) int64 {
			q1, q2, q3 := math.Cos(radians(y[i])-radians(y[j])), math.Cos(radians(x[i])-radians(x[j])), math.Cos(radians(x[i])+radians(x[j]))
			return int64(6378.388*math.Acos(((1+q1)*q2-(1-q1)*q3)/2) + 1)
		}
	}
	costs := make([][]int64, len(x))
	for i := range costs {
		costs[i] = make([]int64, len(x))
		for j := range costs[i] {
			if j != i {
				costs[i][j] = between(i, j)
			}
		}
	}
	return costs
}

// TestTSPLIB95Tours holds the data to the published lengths of the shortest tours: such a tour is a
// path with both ends fixed that comes back, from a node to a copy of it.
func TestTSPLIB95Tours(t *testing.T) {
	for _, c := range []struct {
		name string
		want int64
	}{{"ulysses16", 6859}, {"st70", 675}, {"eil76", 538}, {"rat99", 1211}, {"lin105", 14379}} {
		t.Run(c.name, func(t *testing.T) {
			costs := tsplib(t, c.name)
			for i := range costs {
				costs[i] = append(costs[i], costs[i][0])
			}
			costs = append(costs, append([]int64(nil), costs[0]...))
			first, last := 0, len(costs)-1
			costs[last][last] = 0
			p, err := ShortestPath(costs, PathOptions{Start: &first, End: &last})
			if err != nil {
				t.Fatal(err)
			}
			checkPath(t, costs, p)
			if p.Length != c.want || !p.Optimal {
				t.Errorf("length %d, bound %d, want %d proven", p.Length, p.LowerBound, c.want)
			}
		})
	}
}

// TestTSPLIB95Paths: shortest open paths of public instances, found by another program before; each is
// proven here too.
func TestTSPLIB95Paths(t *testing.T) {
	for _, c := range []struct {
		name string
		want int64
	}{{"ulysses16", 4852}, {"st70", 631}, {"eil76", 514}, {"rat99", 1183}, {"kroA100", 20405}, {"lin105", 13692}} {
		t.Run(c.name, func(t *testing.T) {
			costs := tsplib(t, c.name)
			p, err := ShortestPath(costs, PathOptions{})
			if err != nil {
				t.Fatal(err)
			}
			checkPath(t, costs, p)
			if p.Length != c.want || !p.Optimal {
				t.Errorf("length %d, bound %d, want %d proven", p.Length, p.LowerBound, c.want)
			}
		})
	}
}
