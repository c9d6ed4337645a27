package pairing

import (
	"bytes"
	"errors"
	"math/rand/v2"
	"testing"

	"springline/qc/pairing/certify"
)

// TestProofTextKeepsEverything writes, reads and checks the proofs of random problems.
func TestProofTextKeepsEverything(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for round := range 200 {
		p := randomProblem(rng, 2+rng.IntN(30))
		p.Ribs[0].ID = "odd \"name\"\n with a break"
		r, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		text, err := r.Certificate.MarshalText()
		if err != nil {
			t.Fatal(err)
		}
		v, err := certify.CheckText(text)
		if err != nil {
			t.Fatalf("round %d: %v\n%s", round, err, text)
		}
		if v.Count != r.Count || v.Sum != r.Sum || v.Worst != r.Worst || v.LowerBound != r.LowerBound {
			t.Fatalf("round %d: verdict %+v, result %+v", round, v, r)
		}
		var c certify.Certificate
		if err := c.UnmarshalText(text); err != nil {
			t.Fatal(err)
		}
		again, err := c.MarshalText()
		if err != nil || !bytes.Equal(again, text) {
			t.Fatalf("round %d: the text changed on the way (%v)", round, err)
		}
		for _, cut := range []int{0, len(text) / 2, len(text) - 2} {
			if _, err := certify.CheckText(text[:cut]); err == nil {
				t.Fatalf("round %d: a proof cut to %d of %d bytes was accepted", round, cut, len(text))
			}
		}
	}
}

// TestFalseProofsAreRefused spoils true proofs in every way that would let a worse pairing pass.
func TestFalseProofsAreRefused(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 14))
	spoil := map[string]func(c *certify.Certificate) bool{
		"a dual raised": func(c *certify.Certificate) bool {
			c.Rib[free1(c, rng)] += 2
			return true
		},
		"a dual lowered": func(c *certify.Certificate) bool {
			c.Rib[free1(c, rng)] -= 2
			return true
		},
		"a worse pairing": func(c *certify.Certificate) bool {
			if len(c.Pairs) < 2 {
				return false
			}
			a, b := &c.Pairs[0], &c.Pairs[1]
			a[1], b[1] = b[1], a[1]
			return worse(c)
		},
		"a pair dropped": func(c *certify.Certificate) bool {
			if len(c.Pairs) == 0 {
				return false
			}
			c.Pairs = c.Pairs[1:]
			return true
		},
		"a blossom dropped": func(c *certify.Certificate) bool {
			if len(c.Blossoms) == 0 {
				return false
			}
			c.Blossoms = c.Blossoms[1:]
			return true
		},
		"an even blossom": func(c *certify.Certificate) bool {
			if len(c.Blossoms) == 0 {
				return false
			}
			c.Blossoms[0].Ribs = c.Blossoms[0].Ribs[1:]
			return true
		},
		"a negative blossom": func(c *certify.Certificate) bool {
			if len(c.Blossoms) == 0 {
				return false
			}
			c.Blossoms[0].Dual = -c.Blossoms[0].Dual
			return true
		},
		"a barrier with a rib twice": func(c *certify.Certificate) bool {
			if len(c.More) == 0 {
				return false
			}
			c.More = append(c.More, c.More[0])
			return true
		},
		"a measurement changed": func(c *certify.Certificate) bool {
			if len(c.Pairs) == 0 || c.Tip == 0 {
				return false
			}
			r := &c.Ribs[c.Pairs[0][0]]
			r.Dev = append([]int32{r.Dev[0] + 400_000}, r.Dev[1:]...)
			return true
		},
	}
	for name, f := range spoil {
		done := 0
		for range 400 {
			p := randomProblem(rng, 2+rng.IntN(16))
			r, err := Solve(p)
			if err != nil {
				t.Fatal(err)
			}
			if len(p.Ribs) == 2*len(p.Locked) || !f(r.Certificate) {
				continue
			}
			done++
			if v, err := r.Certificate.Check(); !errors.Is(err, certify.ErrNotProven) {
				t.Fatalf("%s: accepted with %+v (%v); count %d sum %d\n%+v", name, v, err, r.Count, r.Sum, p)
			}
		}
		if done < 10 {
			t.Errorf("%s: tried on %d proofs only", name, done)
		}
	}
}

func free1(c *certify.Certificate, rng *rand.Rand) int {
	locked := map[int]bool{}
	for _, q := range c.Locked {
		locked[q[0]], locked[q[1]] = true, true
	}
	for {
		if i := rng.IntN(len(c.Ribs)); !locked[i] {
			return i
		}
	}
}

// worse says whether the pairs of a certificate cost more than its duals are worth.
func worse(c *certify.Certificate) bool {
	k := *c
	sum := func(pairs [][2]int) (s int64) {
		p := Problem{Metric: RMS, Weights: Weights{k.Tip, k.Crown, k.Stations}}
		if k.Metric == certify.Max {
			p.Metric = Max
		}
		for _, r := range k.Ribs {
			p.Ribs = append(p.Ribs, Rib(r))
		}
		for _, q := range pairs {
			s += plainMismatch(&p, q[0], q[1])
			if k.Ribs[q[0]].Lot != k.Ribs[q[1]].Lot {
				s += k.LotPenalty
			}
		}
		return s
	}
	before := append([][2]int(nil), c.Pairs...)
	before[0][1], before[1][1] = before[1][1], before[0][1]
	return sum(c.Pairs) > sum(before)
}
