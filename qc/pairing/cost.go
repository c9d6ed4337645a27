package pairing

import (
	"math"
	"math/bits"
)

func abs(x int64) int64 {
	if x < 0 {
		return -x
	}
	return x
}

// costs turns ribs into rows and compares rows. A comparison gives a raw value, an integer that rises
// with the mismatch: twice the weighted sum of squares (RMS, square micrometres) or the largest
// weighted difference (Max, micrometres). Only raw values that matter are turned into nanometres.
//
// RMS rows are kept in the quotient form: with s = A+B and a = A-B a station's share of the sum,
// doubled, is w((s-s')^2 + (a-a')^2), and turning a rib only changes the sign of its a. One dot
// product therefore serves both ways round: 2S = |x|^2 + |x'|^2 - 2(<u,u'> + |<a,a'>|).
type costs struct {
	metric Metric
	n      int
	width  int   // numbers a row
	split  int   // RMS: where the part begins that changes its sign
	total  int64 // sum of the weights
	plain  []int64
	weigh  []int64 // RMS: plain times the weight; Max: one row of weights
	norm   []int64 // RMS: weighted square of the row
}

func newCosts(m Metric, w Weights, ribs []Rib) *costs {
	k := len(w.Stations)
	c := &costs{metric: m, n: len(ribs), width: 2 + 2*k, split: 2 + k, total: w.Tip + w.Crown}
	for _, s := range w.Stations {
		c.total += 2 * s
	}
	c.plain = make([]int64, c.n*c.width)
	for i, r := range ribs {
		row := c.plain[i*c.width : (i+1)*c.width]
		if m == RMS {
			row[0], row[1] = int64(r.Dev[0]), int64(r.Dev[1])
			for j := range k {
				a, b := int64(r.Dev[2+j]), int64(r.Dev[2+k+j])
				row[2+j], row[2+k+j] = a+b, a-b
			}
		} else {
			for j, d := range r.Dev {
				row[j] = int64(d)
			}
		}
	}
	one := make([]int64, c.width)
	one[0], one[1] = w.Tip, w.Crown
	if m == RMS {
		one[0], one[1] = 2*w.Tip, 2*w.Crown
	}
	for j, s := range w.Stations {
		one[2+j], one[2+k+j] = s, s
	}
	if m == Max {
		c.weigh = one
		return c
	}
	c.weigh = make([]int64, len(c.plain))
	c.norm = make([]int64, c.n)
	for i := range c.n {
		for j, w := range one {
			x := c.plain[i*c.width+j]
			c.weigh[i*c.width+j] = w * x
			c.norm[i] += w * x * x
		}
	}
	return c
}

// raw compares two ribs, the better way round.
func (c *costs) raw(a, b int) int64 {
	if c.metric == Max {
		m0, m1 := c.largest(a, b)
		return min(m0, m1)
	}
	same, turn := c.dots(a, b)
	return c.norm[a] + c.norm[b] - 2*(same+abs(turn))
}

// flip says whether the better way round is the turned one; on a tie it is not.
func (c *costs) flip(a, b int) bool {
	if c.metric == Max {
		m0, m1 := c.largest(a, b)
		return m1 < m0
	}
	_, turn := c.dots(a, b)
	return turn < 0
}

func (c *costs) dots(a, b int) (same, turn int64) {
	x := c.weigh[a*c.width : (a+1)*c.width]
	y := c.plain[b*c.width : (b+1)*c.width]
	y = y[:len(x)]
	for j := range x[:c.split] {
		same += x[j] * y[j]
	}
	for j := c.split; j < len(x); j++ {
		turn += x[j] * y[j]
	}
	return same, turn
}

func (c *costs) largest(a, b int) (asIs, turned int64) {
	k := c.split - 2
	x := c.plain[a*c.width : (a+1)*c.width]
	y := c.plain[b*c.width : (b+1)*c.width]
	w := c.weigh
	both := max(w[0]*abs(x[0]-y[0]), w[1]*abs(x[1]-y[1]))
	asIs, turned = both, both
	for j := 2; j < 2+k; j++ {
		asIs = max(asIs, w[j]*max(abs(x[j]-y[j]), abs(x[j+k]-y[j+k])))
		turned = max(turned, w[j]*max(abs(x[j]-y[j+k]), abs(x[j+k]-y[j])))
	}
	return asIs, turned
}

// nanometres turns a raw value into the mismatch: isqrt(floor(S * 10^6 / W)) or 1000 times the
// largest difference.
func (c *costs) nanometres(raw int64) int64 {
	if c.metric == Max {
		return 1000 * raw
	}
	hi, lo := bits.Mul64(uint64(raw/2), 1_000_000)
	if hi >= uint64(c.total) { // S/W is at most the largest square, so this needs impossible input
		return math.MaxInt64
	}
	q, _ := bits.Div64(hi, lo, uint64(c.total))
	return isqrt(q)
}

// rawAtMost is the largest raw value whose mismatch is at most limit nanometres.
func (c *costs) rawAtMost(limit int64) int64 {
	if limit < 0 {
		return -1
	}
	if c.metric == Max {
		return limit / 1000
	}
	if limit >= maxCost {
		return math.MaxInt64
	}
	// floor(S 10^6 / W) < (limit+1)^2 is S 10^6 < W (limit+1)^2 for whole numbers.
	hi, lo := mul3(uint64(limit+1), uint64(limit+1), uint64(c.total))
	if hi >= 1_000_000 {
		return math.MaxInt64
	}
	q, r := bits.Div64(hi, lo, 1_000_000)
	if r == 0 {
		q--
	}
	if q > math.MaxInt64/2 {
		return math.MaxInt64
	}
	return 2 * int64(q)
}

// mul3 multiplies three numbers and saturates the high word.
func mul3(a, b, c uint64) (hi, lo uint64) {
	h, l := bits.Mul64(a, b)
	hh, hl := bits.Mul64(h, c)
	hi, lo = bits.Mul64(l, c)
	sum, carry := bits.Add64(hi, hl, 0)
	if hh > 0 || carry > 0 {
		return math.MaxUint64, lo
	}
	return sum, lo
}

// isqrt is the whole part of the square root. math.Sqrt alone is off by one near perfect squares
// above 2^53.
func isqrt(x uint64) int64 {
	r := uint64(math.Sqrt(float64(x)))
	for r > math.MaxUint32 || r*r > x {
		r--
	}
	for r < math.MaxUint32 && (r+1)*(r+1) <= x {
		r++
	}
	return int64(r)
}
