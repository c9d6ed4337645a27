package stats

import (
	"math"
	"math/rand/v2"
	"slices"
)

// pairsAtOnce is how many pair slopes are simply listed and sorted.
const pairsAtOnce = 200_000

// senSlope is the median of (x_j - x_i)/(j - i) over all pairs. Long series are narrowed down first: a
// sample brackets the median, the pairs inside the bracket are listed by the change of order between
// its ends (every pair changes places once, at its own slope), and only these are sorted.
// falls and ties count the pairs whose slope is below 0 and 0.
func senSlope(x []float64, falls, ties int64) float64 {
	n := len(x)
	pairs := int64(n) * int64(n-1) / 2
	if falls <= (pairs-1)/2 && pairs/2 < falls+ties {
		return 0 // coarse readings repeat themselves: the middle lies among the level pairs
	}
	if pairs <= pairsAtOnce {
		s := make([]float64, 0, pairs)
		for i := range x {
			for j := i + 1; j < n; j++ {
				s = append(s, slope(x, i, j))
			}
		}
		return median(s)
	}
	rng := rand.New(rand.NewPCG(uint64(n), 1968))
	sample := make([]float64, 40_000)
	for k := range sample {
		i, j := rng.IntN(n), rng.IntN(n-1)
		if j >= i {
			j++
		}
		sample[k] = slope(x, min(i, j), max(i, j))
	}
	slices.Sort(sample)
	// 4 standard deviations of a sample quantile either side; widened until it is sure to hold.
	for width := 400; ; width *= 2 {
		mid := len(sample) / 2
		lo, hi := math.Inf(-1), math.Inf(1)
		if mid-width > 0 {
			lo = sample[mid-width]
		}
		if mid+width < len(sample)-1 {
			hi = sample[mid+width]
		}
		if m, ok := medianWithin(x, lo, hi, pairs); ok {
			return m
		}
	}
}

func slope(x []float64, i, j int) float64 { return (x[j] - x[i]) / float64(j-i) }

// medianWithin returns the median slope if both middle ranks fall among the slopes from lo to hi.
func medianWithin(x []float64, lo, hi float64, pairs int64) (float64, bool) {
	n := len(x)
	order := make([]int32, n)
	for i := range order {
		order[i] = int32(i)
	}
	below := int64(0)
	if !math.IsInf(lo, -1) {
		v := make([]float64, n)
		for i := range v {
			v[i] = x[i] - lo*float64(i)
		}
		slices.SortStableFunc(order, func(a, b int32) int { return sign(v[a] - v[b]) })
		below = inversions(v, nil)
	}
	first, last := (pairs-1)/2-below, pairs/2-below
	if first < 0 {
		return 0, false
	}
	// Ranks of the points in their order at hi; equal ones the later first, so that a slope equal to hi
	// counts as passed. At -Inf the points stand by index, at +Inf by falling index.
	rank := make([]int32, n)
	at := make([]int32, n)
	for i := range at {
		at[i] = int32(n - 1 - i)
	}
	if !math.IsInf(hi, 1) {
		w := make([]float64, n)
		for i := range w {
			w[i] = x[i] - hi*float64(i)
		}
		slices.SortStableFunc(at, func(a, b int32) int { return sign(w[a] - w[b]) })
	}
	for r, i := range at {
		rank[i] = int32(r)
	}
	slopes := crossed(x, order, rank)
	if last >= int64(len(slopes)) {
		return 0, false
	}
	b := selected(slopes, int(last))
	a := b
	if first < last {
		a = slices.Max(slopes[:last])
	}
	// Rounding may misplace a pair whose slope is within an ulp or so of a bracket end: the median must
	// lie clear of both.
	clear := func(s float64) bool {
		return s-lo > 1e-9*(math.Abs(s)+math.Abs(lo)) && hi-s > 1e-9*(math.Abs(s)+math.Abs(hi))
	}
	if !clear(a) && !math.IsInf(lo, -1) || !clear(b) && !math.IsInf(hi, 1) {
		return 0, false
	}
	return a + (b-a)/2, true
}

// selected returns the value of rank k (0-based) and leaves everything below it in front (Hoare's
// selection, pivot the middle of three): the million slopes in the bracket need no full sort.
func selected(s []float64, k int) float64 {
	lo, hi := 0, len(s)-1
	for lo < hi {
		a, b, c := s[lo], s[lo+(hi-lo)/2], s[hi]
		pivot := max(min(a, b), min(max(a, b), c))
		i, j := lo, hi
		for i <= j {
			for s[i] < pivot {
				i++
			}
			for s[j] > pivot {
				j--
			}
			if i <= j {
				s[i], s[j] = s[j], s[i]
				i, j = i+1, j-1
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return s[k]
		}
	}
	return s[k]
}

// crossed lists the slopes of the pairs whose order by rank is the reverse of their order in the list.
func crossed(x []float64, order, rank []int32) []float64 {
	slopes := make([]float64, 0, 1<<20)
	buf := make([]int32, len(order))
	var sort func(s, buf []int32)
	sort = func(s, buf []int32) {
		if len(s) < 2 {
			return
		}
		h := len(s) / 2
		sort(s[:h], buf[:h])
		sort(s[h:], buf[h:])
		i, j := 0, h
		for k := range buf[:len(s)] {
			if j == len(s) || i < h && rank[s[i]] < rank[s[j]] {
				buf[k] = s[i]
				i++
				continue
			}
			for _, p := range s[i:h] {
				slopes = append(slopes, slope(x, int(min(p, s[j])), int(max(p, s[j]))))
			}
			buf[k] = s[j]
			j++
		}
		copy(s, buf[:len(s)])
	}
	sort(order, buf)
	return slopes
}
