package certify

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Verdict is what a checked certificate proves: no pairing has more than Count pairs, none with as
// many has (worst_then_sum) a smaller largest mismatch than Worst, and none with both a smaller sum
// of costs than Sum. LowerBound is the value of the duals, in nanometres, and equals Sum. Locked
// pairs are not counted.
type Verdict struct {
	Count                  int
	Sum, Worst, LowerBound int64
}

// ErrNotProven is wrapped by every error for a proof that does not hold.
var ErrNotProven = errors.New("the pairing is not proven")

func fail(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrNotProven}, args...)...)
}

// Check verifies a certificate from first principles in O(n^2) whole-number steps.
func (c *Certificate) Check() (Verdict, error) {
	if err := c.sane(); err != nil {
		return Verdict{}, err
	}
	k := &checker{Certificate: c, n: len(c.Ribs), weight: c.weight()}
	if err := k.ribs(); err != nil {
		return Verdict{}, err
	}
	v, doubled, err := k.answer()
	if err != nil {
		return Verdict{}, err
	}
	left := k.active - 2*v.Count
	limit := k.limit()
	if left > k.active%2 {
		if err := k.forced("more", c.More, limit, left); err != nil {
			return Verdict{}, err
		}
	}
	if c.Objective == WorstThenSum && v.Count > 0 {
		if err := k.forced("better", c.Better, v.Worst-1, left+2); err != nil {
			return Verdict{}, err
		}
		limit = v.Worst
	}
	value, err := k.duals(limit)
	if err != nil {
		return Verdict{}, err
	}
	if value != doubled+c.Alone*int64(left) {
		return Verdict{}, fail("the duals are worth %d, the pairs and leftovers %d", value, doubled+c.Alone*int64(left))
	}
	v.LowerBound = (value - c.Alone*int64(left)) / 2 / c.Factor
	return v, nil
}

// sane refuses what could not be computed with; it does not judge.
func (c *Certificate) sane() error {
	n := len(c.Ribs)
	switch {
	case c.Metric != RMS && c.Metric != Max:
		return fail("metric %q is unknown", c.Metric)
	case c.Objective != Sum && c.Objective != WorstThenSum:
		return fail("objective %q is unknown", c.Objective)
	case len(c.Rib) != n:
		return fail("%d duals for %d ribs", len(c.Rib), n)
	case c.Factor < 1 || len(c.Prefer) == 0 && c.Factor != 1 || len(c.Prefer) > 0 && c.Factor <= int64(n/2):
		return fail("factor %d would let ties decide", c.Factor)
	case c.LotPenalty < 0 || c.Limit < -1:
		return fail("a negative penalty or limit")
	}
	// Magnitudes that keep every sum below within 63 bits.
	// Below two metres apart, squares in nanometres do.
	var weight, far int64 = 0, 1
	for _, w := range append([]int64{c.Tip, c.Crown}, c.Stations...) {
		if w < 0 || w > math.MaxInt32 {
			return fail("weight %d is out of range", w)
		}
		weight += 2 * w
	}
	for i, r := range c.Ribs {
		if len(r.Dev) != 2+2*len(c.Stations) {
			return fail("rib %d has %d deviations, not %d", i, len(r.Dev), 2+2*len(c.Stations))
		}
		for _, d := range r.Dev {
			far = max(far, distance(d, 0))
		}
	}
	if weight == 0 {
		return fail("all weights are zero")
	}
	if far > 1_000_000 || weight > (1<<58)/far/far {
		return fail("deviations and weights are too large")
	}
	span := (math.MaxInt64 / 8) / int64(n+1)
	for i, y := range c.Rib {
		if y > span || y < -span {
			return fail("dual %d of rib %d is out of range", y, i)
		}
	}
	if c.Alone > span || c.LotPenalty > span/c.Factor/4 || 2*far*1000*weight > span/c.Factor/4 && c.Metric == Max {
		return fail("costs are out of range")
	}
	return nil
}

type checker struct {
	*Certificate
	n       int
	active  int // ribs that are not locked
	weight  int64
	locked  []bool
	banned  map[[2]int]bool
	shown   map[[2]int]bool
	chain   [][]int32 // of a rib: the blossoms around it, outermost first
	through [][]int64 // of a rib: sum of the duals of the first blossoms of its chain
}

func pair(a, b int) [2]int { return [2]int{min(a, b), max(a, b)} }

func (k *checker) ribs() error {
	set := func(name string, list [][2]int) (map[[2]int]bool, error) {
		m := make(map[[2]int]bool, len(list))
		for _, q := range list {
			if q[0] < 0 || q[1] < 0 || q[0] >= k.n || q[1] >= k.n || q[0] == q[1] {
				return nil, fail("%s pair %v is not two of the %d ribs", name, q, k.n)
			}
			m[pair(q[0], q[1])] = true
		}
		return m, nil
	}
	var err error
	if k.banned, err = set("forbidden", k.Forbidden); err != nil {
		return err
	}
	if k.shown, err = set("preferred", k.Prefer); err != nil {
		return err
	}
	if _, err = set("locked", k.Locked); err != nil {
		return err
	}
	k.locked = make([]bool, k.n)
	for _, q := range k.Locked {
		for _, r := range q {
			if k.locked[r] {
				return fail("rib %d is locked twice", r)
			}
			k.locked[r] = true
		}
	}
	k.active = k.n - 2*len(k.Locked)
	return nil
}

func (k *checker) limit() int64 {
	if k.Limit < 0 {
		return math.MaxInt64
	}
	return k.Limit
}

// cost is what the proof counts for a pair of a given mismatch.
func (k *checker) cost(i, j int, mismatch int64) int64 {
	c := mismatch
	if k.Ribs[i].Lot != k.Ribs[j].Lot {
		c += k.LotPenalty
	}
	c *= k.Factor
	if len(k.Prefer) > 0 && !k.shown[pair(i, j)] {
		c++
	}
	return c
}

// answer adds up the pairs; doubled is the doubled sum of what the proof counts.
func (k *checker) answer() (v Verdict, doubled int64, err error) {
	used := slices.Clone(k.locked)
	limit := k.limit()
	for _, q := range k.Pairs {
		i, j := q[0], q[1]
		if i < 0 || j < 0 || i >= k.n || j >= k.n || i == j || used[i] || used[j] {
			return v, 0, fail("pair %v names a rib that is unknown, locked or paired already", q)
		}
		used[i], used[j] = true, true
		m := k.mismatch(i, j, k.weight)
		if k.banned[pair(i, j)] || m > limit {
			return v, 0, fail("pair %v is forbidden or beyond the limit", q)
		}
		v.Count++
		v.Worst = max(v.Worst, m)
		v.Sum += m
		if k.Ribs[i].Lot != k.Ribs[j].Lot {
			v.Sum += k.LotPenalty
		}
		doubled += 2 * k.cost(i, j, m)
	}
	for i := range used {
		if !used[i] && k.Rib[i] != k.Alone {
			return v, 0, fail("rib %d is left over but its dual is %d, not %d", i, k.Rib[i], k.Alone)
		}
	}
	return v, doubled, nil
}
