package certify

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sort"
)

// duals checks every constraint and returns the value of the duals.
func (k *checker) duals(limit int64) (int64, error) {
	value, err := k.blossoms()
	if err != nil {
		return 0, err
	}
	for i, y := range k.Rib {
		if k.locked[i] {
			if y != 0 {
				return 0, fail("locked rib %d has a dual", i)
			}
			continue
		}
		if y > k.Alone {
			return 0, fail("dual %d of rib %d exceeds that of a leftover, %d", y, i, k.Alone)
		}
		value += y
	}
	return value, k.constraints(limit)
}

// blossoms checks that they are odd sets, nested or apart, and returns what they take from the value.
func (k *checker) blossoms() (int64, error) {
	order := make([]int, len(k.Blossoms))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(len(k.Blossoms[b].Ribs), len(k.Blossoms[a].Ribs)) })
	k.chain, k.through = make([][]int32, k.n), make([][]int64, k.n)
	span := (math.MaxInt64 / 8) / int64(k.n+1)
	var value int64
	last := make([]int, k.n)
	for _, b := range order {
		s := k.Blossoms[b]
		if len(s.Ribs)%2 == 0 || len(s.Ribs) < 3 || s.Dual < 0 || s.Dual > span {
			return 0, fail("blossom %d has %d ribs and dual %d", b, len(s.Ribs), s.Dual)
		}
		around := int32(-1)
		for i, r := range s.Ribs {
			if r < 0 || r >= k.n || k.locked[r] || last[r] == b+1 {
				return 0, fail("blossom %d names rib %d, which is unknown, locked or named twice", b, r)
			}
			last[r] = b + 1
			in := int32(-1)
			if c := k.chain[r]; len(c) > 0 {
				in = c[len(c)-1]
			}
			if i == 0 {
				around = in
			} else if in != around {
				return 0, fail("blossom %d crosses another", b)
			}
			sum := s.Dual
			if t := k.through[r]; len(t) > 0 {
				sum += t[len(t)-1]
			}
			if sum > math.MaxInt64/8 {
				return 0, fail("blossom duals are out of range")
			}
			k.chain[r] = append(k.chain[r], int32(b))
			k.through[r] = append(k.through[r], sum)
		}
		take := int64((len(s.Ribs) - 1) / 2)
		if s.Dual > 0 && take > (math.MaxInt64/8)/s.Dual {
			return 0, fail("blossom duals are out of range")
		}
		value -= s.Dual * take
		if value < -math.MaxInt64/8 {
			return 0, fail("blossom duals are out of range")
		}
	}
	return value, nil
}

// shared is the sum of the duals of the blossoms that contain both ribs: their chains agree up to
// the last of these.
func (k *checker) shared(i, j int) int64 {
	a, b := k.chain[i], k.chain[j]
	n := sort.Search(min(len(a), len(b)), func(x int) bool { return a[x] != b[x] })
	if n == 0 {
		return 0
	}
	return k.through[i][n-1]
}

// reach is the least square sum whose mismatch is at least x nanometres (x > 0): isqrt(floor(q)) >= x
// is q >= x^2 is S >= W x^2 / 10^6.
func (k *checker) reach(x int64) int64 {
	if x > math.MaxUint32 {
		return math.MaxInt64
	}
	hi, lo := bits.Mul64(uint64(x*x), uint64(k.weight))
	lo, carry := bits.Add64(lo, 999_999, 0)
	hi += carry
	if hi >= 1_000_000 {
		return math.MaxInt64
	}
	q, _ := bits.Div64(hi, lo, 1_000_000)
	return int64(min(q, math.MaxInt64))
}

// constraints checks y + y' - z <= 2 cost for every admissible pair. Nearly all pairs pass on a part
// of their squares; only for the others are cost and blossoms looked up.
func (k *checker) constraints(limit int64) error {
	double := 2 * k.Factor
	small := int64(1) // below it weight * x^2 fits
	for small < 1<<31 && k.weight <= (math.MaxInt64/4)/small/small/2 {
		small *= 2
	}
	small /= 2
	rms := k.Metric == RMS
	for i := range k.n {
		if k.locked[i] {
			continue
		}
		a, yi := k.Ribs[i].Dev, k.Rib[i]
		for j := i + 1; j < k.n; j++ {
			y := yi + k.Rib[j]
			if y <= 0 || k.locked[j] {
				continue
			}
			b := k.Ribs[j].Dev
			if rms {
				// The mismatch must reach x for the pair to pass without more ado.
				var x int64
				if double == 2 {
					x = (y + 1) >> 1
				} else {
					x = (y + double - 1) / double
				}
				var need int64
				if x < small {
					need = (k.weight*x*x + 999_999) / 1_000_000
				} else {
					need = k.reach(x)
				}
				t, c := int64(a[0])-int64(b[0]), int64(a[1])-int64(b[1])
				if k.Tip*t*t+k.Crown*c*c >= need || k.square(a, b) >= need {
					continue
				}
			}
			m := k.mismatch(i, j, k.weight)
			if m > limit || k.banned[pair(i, j)] {
				continue
			}
			if over := y - k.shared(i, j) - 2*k.cost(i, j, m); over > 0 {
				return fail("ribs %d and %d could still gain %d by a pair the proof does not cover", i, j, over)
			}
		}
	}
	return nil
}
