package pairing

import (
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"
)

func outcome(t *testing.T, p Problem) value {
	t.Helper()
	r, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	return value{count: r.Count, worst: r.Worst, sum: r.Sum}
}

// TestChangesThatMustNotMatter: ribs turned end for end, ribs in another order, and the same shift
// added to one number of all ribs (to both legs alike) leave the answer's values as they are.
func TestChangesThatMustNotMatter(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 62))
	for round := range 200 {
		n := 2 + rng.IntN(40)
		p := randomProblem(rng, n)
		p.Prefer = nil
		want := outcome(t, p)
		if p.Objective == Sum {
			want.worst = 0 // equal sums may have different largest mismatches
		}
		k := len(p.Weights.Stations)
		check := func(name string, q Problem) {
			t.Helper()
			got := outcome(t, q)
			if p.Objective == Sum {
				got.worst = 0
			}
			if got != want {
				t.Fatalf("round %d, %s: %+v, was %+v", round, name, got, want)
			}
		}
		with := func(change func(i int, dev []int32)) Problem {
			q := p
			q.Ribs = slices.Clone(p.Ribs)
			for i := range q.Ribs {
				q.Ribs[i].Dev = slices.Clone(q.Ribs[i].Dev)
				change(i, q.Ribs[i].Dev)
			}
			return q
		}
		check("turned", with(func(_ int, dev []int32) {
			if rng.IntN(2) == 0 {
				for j := range k {
					dev[2+j], dev[2+k+j] = dev[2+k+j], dev[2+j]
				}
			}
		}))
		at, by := rng.IntN(2+k), int32(rng.IntN(9000)-4500)
		check("shifted", with(func(_ int, dev []int32) {
			dev[at] += by
			if at >= 2 {
				dev[at+k] += by
			}
		}))
		perm := rng.Perm(n)
		q := p
		q.Ribs = make([]Rib, n)
		for i, r := range p.Ribs {
			q.Ribs[perm[i]] = r
		}
		move := func(list [][2]int) (out [][2]int) {
			for _, x := range list {
				out = append(out, [2]int{perm[x[1]], perm[x[0]]})
			}
			return out
		}
		q.Forbidden, q.Locked = move(p.Forbidden), move(p.Locked)
		check("reordered", q)
	}
}

// TestTwinsPairWithEachOther: when every rib has a copy, turned or not, everything matches for nothing.
func TestTwinsPairWithEachOther(t *testing.T) {
	for _, n := range []int{1, 2, 25, 160} {
		p := batch(n, 9)
		for i, r := range p.Ribs[:n] {
			twin := Rib{ID: "twin " + strconv.Itoa(i), Lot: r.Lot, Dev: slices.Clone(r.Dev)}
			if i%2 == 0 {
				k := len(p.Weights.Stations)
				twin.Dev = slices.Concat(r.Dev[:2], r.Dev[2+k:], r.Dev[2:2+k])
			}
			p.Ribs = append(p.Ribs, twin)
		}
		if got := outcome(t, p); got != (value{count: n}) {
			t.Errorf("%d ribs and their twins: %+v", n, got)
		}
	}
}

// nested places 3^depth points: three far apart, each replaced by three closer ones, and so on, with
// some unrest. The odd clusters within odd clusters make blossoms within blossoms.
func nested(rng *rand.Rand, depth int) [][2]int32 {
	points := [][2]int32{{}}
	for d := range depth {
		size := int32(40 * pow(7, d))
		var more [][2]int32
		for _, x := range [3][2]int32{{0, 0}, {size, 0}, {size / 2, size * 13 / 15}} {
			for _, p := range points {
				unrest := size/8 + 1
				more = append(more, [2]int32{p[0] + x[0] + rng.Int32N(unrest), p[1] + x[1] + rng.Int32N(unrest)})
			}
		}
		points = more
	}
	return points
}

func pow(a, b int) int {
	r := 1
	for range b {
		r *= a
	}
	return r
}

// TestNestedBlossoms compares clusters within clusters with the dense solver, and holds that the proofs
// do contain blossoms within blossoms.
func TestNestedBlossoms(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 72))
	deepest := 0
	for round := range 60 {
		p := Problem{Metric: RMS, Objective: Sum + Objective(round%2), Weights: Weights{Tip: 1, Crown: 1}}
		parts := 1 + round%3
		for part := range parts {
			for _, x := range nested(rng, 2+rng.IntN(2)) {
				p.Ribs = append(p.Ribs, Rib{ID: strconv.Itoa(len(p.Ribs)), Dev: []int32{x[0] + int32(part)*60_000, x[1]}})
			}
		}
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		want := denseOptimum(&p)
		if r.Count != want.count || r.Sum != want.sum || p.Objective == WorstThenSum && r.Worst != want.worst {
			t.Fatalf("round %d, %d ribs: %d pairs, worst %d, sum %d, want %+v", round, len(p.Ribs), r.Count, r.Worst, r.Sum, want)
		}
		depth := make([]int, len(p.Ribs))
		for _, b := range r.Certificate.Blossoms {
			for _, v := range b.Ribs {
				depth[v]++
				deepest = max(deepest, depth[v])
			}
		}
	}
	if deepest < 3 {
		t.Errorf("the deepest nest had %d blossoms; the test would prove little", deepest)
	}
}
