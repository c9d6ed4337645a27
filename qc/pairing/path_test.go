package pairing

import (
	"bufio"
	"encoding/json"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
)

type pathCase struct {
	ID, Source string
	Input      struct{ Costs [][]int64 }
	Output     struct{ Length int64 }
}

func loadPaths(t testing.TB) []pathCase {
	t.Helper()
	f, err := os.Open("../../testdata/checks/order.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all []pathCase
	s := bufio.NewScanner(f)
	s.Buffer(nil, 16<<20)
	for s.Scan() {
		var c pathCase
		if err := json.Unmarshal(s.Bytes(), &c); err != nil {
			t.Fatalf("line %d: %v", len(all)+1, err)
		}
		all = append(all, c)
	}
	if s.Err() != nil || len(all) == 0 {
		t.Fatalf("%d path cases: %v", len(all), s.Err())
	}
	return all
}

func checkPath(t *testing.T, costs [][]int64, p Path) {
	t.Helper()
	seen := make([]bool, len(costs))
	var sum int64
	for i, v := range p.Order {
		if seen[v] {
			t.Fatalf("node %d is visited twice", v)
		}
		seen[v] = true
		if i > 0 {
			sum += costs[p.Order[i-1]][v]
		}
	}
	if len(p.Order) != len(costs) || sum != p.Length {
		t.Fatalf("%d of %d nodes, length %d but said %d", len(p.Order), len(costs), sum, p.Length)
	}
	if p.LowerBound > p.Length || p.Optimal != (p.LowerBound == p.Length) {
		t.Fatalf("length %d, bound %d, optimal %v", p.Length, p.LowerBound, p.Optimal)
	}
}

// TestPublicPaths finds and proves the shortest open paths of TSPLIB 95 instances.
func TestPublicPaths(t *testing.T) {
	for _, c := range loadPaths(t) {
		t.Run(c.ID, func(t *testing.T) {
			p, err := ShortestPath(c.Input.Costs, PathOptions{})
			if err != nil {
				t.Fatal(err)
			}
			checkPath(t, c.Input.Costs, p)
			if p.Length != c.Output.Length || !p.Optimal {
				t.Errorf("length %d, bound %d, want %d proven", p.Length, p.LowerBound, c.Output.Length)
			}
		})
	}
}

func randomCosts(rng *rand.Rand, n int) [][]int64 {
	flat := rng.IntN(3) == 0
	x, y := make([]int64, n), make([]int64, n)
	for i := range n {
		x[i], y[i] = rng.Int64N(1000), rng.Int64N(1000)
	}
	costs := make([][]int64, n)
	for i := range costs {
		costs[i] = make([]int64, n)
	}
	for i := range n {
		for j := range i {
			c := isqrt(uint64((x[i]-x[j])*(x[i]-x[j]) + (y[i]-y[j])*(y[i]-y[j])))
			if flat {
				c = rng.Int64N(20)
			}
			costs[i][j], costs[j][i] = c, c
		}
	}
	return costs
}

// TestPathSearchAgainstSubsets holds search, bound and branching to the exact dynamic programme, with
// free and fixed ends.
func TestPathSearchAgainstSubsets(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for round := range 300 {
		n := 4 + rng.IntN(9)
		costs := randomCosts(rng, n)
		var opt PathOptions
		if a := rng.IntN(n); rng.IntN(2) == 0 {
			opt.Start = &a
		}
		if b := rng.IntN(n); rng.IntN(2) == 0 && (opt.Start == nil || *opt.Start != b) {
			opt.End = &b
		}
		want := subsetPath(costs, opt)
		checkEnds(t, want, opt)
		got := searchPath(newTour(costs, opt), 1, &budget{left: 1_000_000})
		got.Optimal = got.LowerBound == got.Length
		checkPath(t, costs, got)
		checkEnds(t, got, opt)
		if got.Length != want.Length || got.LowerBound > want.Length {
			t.Fatalf("round %d, n %d: length %d, bound %d, want %d", round, n, got.Length, got.LowerBound, want.Length)
		}
		if got.LowerBound < want.Length && n > 5 {
			t.Errorf("round %d, n %d: not proven: bound %d of %d", round, n, got.LowerBound, want.Length)
		}
	}
}

func checkEnds(t *testing.T, p Path, opt PathOptions) {
	t.Helper()
	if opt.Start != nil && p.Order[0] != *opt.Start || opt.End != nil && p.Order[len(p.Order)-1] != *opt.End {
		t.Fatalf("path %v does not keep its ends", p.Order)
	}
}

// TestPathIsRepeatable: the same question and steps give the same path, and more nodes than can be
// proven still get a bound below the length.
func TestPathIsRepeatable(t *testing.T) {
	costs := randomCosts(rand.New(rand.NewPCG(5, 1)), 200)
	opt := PathOptions{Steps: 30_000_000, Seed: 3}
	p, err := ShortestPath(costs, opt)
	if err != nil {
		t.Fatal(err)
	}
	checkPath(t, costs, p)
	q, err := ShortestPath(costs, opt)
	if err != nil || !slices.Equal(p.Order, q.Order) || p.LowerBound != q.LowerBound {
		t.Errorf("a second run differs: %d against %d (%v)", p.Length, q.Length, err)
	}
	if 100*(p.Length-p.LowerBound) > 5*p.Length {
		t.Errorf("length %d is more than 5 %% above the bound %d", p.Length, p.LowerBound)
	}
}

// TestBranchingFindsByItself starts the proof from a poor path, so that no luck of the search can hide
// a branch cut off wrongly.
func TestBranchingFindsByItself(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	for round := range 200 {
		n := 5 + rng.IntN(8)
		costs := randomCosts(rng, n)
		want := subsetPath(costs, PathOptions{})
		tr := newTour(costs, PathOptions{})
		tr.begin()
		o := newOneTree(tr)
		work := &budget{left: 1 << 40}
		poor := tr.length() + 1 + rng.Int64N(100)
		bound, ok := o.climb(poor, 1+rng.IntN(20), work)
		if !ok || o.whole(bound) > want.Length {
			t.Fatalf("round %d: root bound %d above the optimum %d", round, o.whole(bound), want.Length)
		}
		length, low := o.prove(poor, bound, work, tr.follow)
		if length != want.Length || low != want.Length || tr.length() != want.Length {
			t.Fatalf("round %d, n %d: proved %d and bound %d, tour of %d, want %d", round, n, length, low, tr.length(), want.Length)
		}
	}
}
