package certify

import "math/bits"

// The definition of the mismatch, pair by pair.

func distance(a, b int32) int64 {
	d := int64(a) - int64(b)
	if d < 0 {
		return -d
	}
	return d
}

// square is the least weighted sum of squared differences over both ways round.
func (q *Question) square(a, b []int32) int64 {
	k := len(q.Stations)
	t, c := distance(a[0], b[0]), distance(a[1], b[1])
	asIs := q.Tip*t*t + q.Crown*c*c
	turned := asIs
	la, lb := a[2:2+k], b[2:2+k]
	ra, rb := a[2+k:], b[2+k:]
	for i, w := range q.Stations {
		ll, rr := int64(la[i])-int64(lb[i]), int64(ra[i])-int64(rb[i])
		lr, rl := int64(la[i])-int64(rb[i]), int64(ra[i])-int64(lb[i])
		asIs += w * (ll*ll + rr*rr)
		turned += w * (lr*lr + rl*rl)
	}
	return min(asIs, turned)
}

// largest is the least largest weighted difference over both ways round.
func (q *Question) largest(a, b []int32) int64 {
	k := len(q.Stations)
	asIs := max(q.Tip*distance(a[0], b[0]), q.Crown*distance(a[1], b[1]))
	turned := asIs
	for i, w := range q.Stations {
		asIs = max(asIs, w*distance(a[2+i], b[2+i]), w*distance(a[2+k+i], b[2+k+i]))
		turned = max(turned, w*distance(a[2+i], b[2+k+i]), w*distance(a[2+k+i], b[2+i]))
	}
	return min(asIs, turned)
}

// weight is the sum of all weights.
func (q *Question) weight() int64 {
	w := q.Tip + q.Crown
	for _, s := range q.Stations {
		w += 2 * s
	}
	return w
}

// mismatch of two ribs in nanometres.
func (q *Question) mismatch(i, j int, weight int64) int64 {
	a, b := q.Ribs[i].Dev, q.Ribs[j].Dev
	if q.Metric == Max {
		return 1000 * q.largest(a, b)
	}
	hi, lo := bits.Mul64(uint64(q.square(a, b)), 1_000_000)
	s, _ := bits.Div64(hi, lo, uint64(weight))
	// The whole root, bit by bit: slow, and nothing to go wrong.
	var root uint64
	for bit := uint64(1) << 31; bit > 0; bit >>= 1 {
		if r := root | bit; r*r <= s {
			root = r
		}
	}
	return int64(root)
}
