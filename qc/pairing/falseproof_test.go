package pairing

import (
	"errors"
	"math/rand/v2"
	"testing"

	"springline/qc/pairing/certify"
)

// TestCheckerLooksAtEveryPair moves value from one dual to another, so that all sums stay right and
// only single pairs tell the fraud.
func TestCheckerLooksAtEveryPair(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	for range 100 {
		p := batch(4+2*rng.IntN(20), rng.Uint64())
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		c := r.Certificate
		q := c.Pairs[rng.IntN(len(c.Pairs))]
		c.Alone = 1 << 50 // nobody is left over: this changes nothing
		if _, err := c.Check(); err != nil {
			t.Fatal(err)
		}
		c.Rib[q[0]] += 1 << 32
		c.Rib[q[1]] -= 1 << 32
		if v, err := c.Check(); !errors.Is(err, certify.ErrNotProven) {
			t.Fatalf("accepted with %+v (%v)", v, err)
		}
	}
}

// TestCheckerCountsOddGroups: leaving over two ribs that could be paired costs nothing if staying
// alone does, so only the missing barrier tells.
func TestCheckerCountsOddGroups(t *testing.T) {
	c := certify.Certificate{Factor: 1, Rib: []int64{0, 0}}
	c.Metric, c.Objective, c.Tip, c.Limit = certify.Max, certify.Sum, 1, -1
	c.Ribs = []certify.Rib{{ID: "a", Dev: []int32{0, 0}}, {ID: "b", Dev: []int32{10, 0}}}
	for _, barrier := range [][]int{nil, {0}, {0, 1}} {
		c.More = barrier
		if v, err := c.Check(); !errors.Is(err, certify.ErrNotProven) {
			t.Errorf("barrier %v: accepted with %+v (%v)", barrier, v, err)
		}
	}
	c.More, c.Limit = nil, 9_999
	if v, err := c.Check(); err != nil || v.Count != 0 {
		t.Errorf("two ribs beyond the limit: %+v, %v", v, err)
	}
}

// TestCheckerHoldsTheWorst gives proofs of the least sum out as proofs of the least largest mismatch.
func TestCheckerHoldsTheWorst(t *testing.T) {
	rng := rand.New(rand.NewPCG(83, 84))
	tried := 0
	for tried < 10 {
		p := randomProblem(rng, 6+rng.IntN(20))
		p.Objective = Sum
		sum, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		p.Objective = WorstThenSum
		worst, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		if sum.Worst == worst.Worst {
			continue
		}
		tried++
		c := sum.Certificate
		c.Objective = certify.WorstThenSum
		for _, better := range [][]int{nil, worst.Certificate.Better} {
			c.Better = better
			if v, err := c.Check(); !errors.Is(err, certify.ErrNotProven) {
				t.Fatalf("accepted with %+v (%v), the least is %d", v, err, worst.Worst)
			}
		}
	}
}
