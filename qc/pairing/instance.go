package pairing

import "slices"

// cacheRibs is the number of ribs up to which all raw comparisons are kept (16 MB at the most) where
// several passes are to be expected; else they are made anew on each pass.
const cacheRibs = 2048

// instance is a problem without its locked ribs, numbered from 0, with all that the passes over its
// pairs need. Its costs are factor*(mismatch + lot penalty) + 1 for a pair that is not preferred; the
// factor is 1 unless there are preferred pairs, and else so large that they only break ties.
type instance struct {
	*costs
	ids     []int // index in the problem
	lot     []int32
	penalty int64
	factor  int64
	most    int64 // largest admissible raw value
	banned  map[uint64]struct{}
	shown   map[uint64]struct{}
	bans    []int32 // forbidden partners of each rib, counted
	cache   []int64 // raw of u < v, row after row
	row     []int64
}

func newInstance(p *Problem) *instance {
	away := make([]bool, len(p.Ribs))
	for _, q := range p.Locked {
		away[q[0]], away[q[1]] = true, true
	}
	in := &instance{penalty: p.LotPenalty, factor: 1}
	number := make([]int32, len(p.Ribs))
	lots := make(map[string]int32)
	var ribs []Rib
	for i, r := range p.Ribs {
		number[i] = none
		if away[i] {
			continue
		}
		number[i] = int32(len(ribs))
		ribs = append(ribs, r)
		in.ids = append(in.ids, i)
		l, ok := lots[r.Lot]
		if !ok {
			l = int32(len(lots))
			lots[r.Lot] = l
		}
		in.lot = append(in.lot, l)
	}
	in.costs = newCosts(p.Metric, p.Weights, ribs)
	in.most = in.rawAtMost(maxCost)
	if p.Limit != nil {
		in.most = in.rawAtMost(*p.Limit)
	}
	in.bans = make([]int32, in.n)
	in.banned = pairSet(p.Forbidden, number)
	for k := range in.banned {
		in.bans[k>>32]++
		in.bans[uint32(k)]++
	}
	if len(p.Prefer) > 0 {
		in.shown = pairSet(p.Prefer, number)
		in.factor = int64(len(p.Ribs)/2 + 1)
	}
	in.row = make([]int64, in.n)
	if in.n <= cacheRibs && (p.Objective == WorstThenSum || p.Limit != nil || len(p.Forbidden) > 0) {
		in.cache = make([]int64, in.n*(in.n-1)/2)
		at := 0
		for u := range in.n {
			in.fillRow(u, in.cache[at:at+in.n-1-u])
			at += in.n - 1 - u
		}
	}
	return in
}

func key(u, v int32) uint64 {
	if u > v {
		u, v = v, u
	}
	return uint64(u)<<32 | uint64(uint32(v))
}

func pairSet(list [][2]int, number []int32) map[uint64]struct{} {
	set := make(map[uint64]struct{}, len(list))
	for _, q := range list {
		if u, v := number[q[0]], number[q[1]]; u != none && v != none {
			set[key(u, v)] = struct{}{}
		}
	}
	return set
}

// eachRow calls f with every rib u and the raw values of its pairs with u+1, u+2, ...
func (in *instance) eachRow(f func(u int, raw []int64)) {
	at := 0
	for u := range in.n {
		m := in.n - 1 - u
		if in.cache != nil {
			f(u, in.cache[at:at+m])
			at += m
			continue
		}
		in.fillRow(u, in.row[:m])
		f(u, in.row[:m])
	}
}

// at is the raw value of one pair.
func (in *instance) at(u, v int32) int64 {
	if in.cache == nil {
		return in.raw(int(u), int(v))
	}
	if u > v {
		u, v = v, u
	}
	// Rows 0..u-1 hold n-1, n-2, ... values.
	i, n := int(u), in.n
	return in.cache[i*(2*n-i-1)/2+int(v)-i-1]
}

func (in *instance) allowed(u, v int32) bool {
	if in.bans[u] == 0 || in.bans[v] == 0 {
		return true
	}
	_, no := in.banned[key(u, v)]
	return !no
}

// price is the whole cost of a pair with a given mismatch.
func (in *instance) price(u, v int32, mismatch int64) int64 {
	c := mismatch
	if in.lot[u] != in.lot[v] {
		c += in.penalty
	}
	if in.shown == nil {
		return c
	}
	c *= in.factor
	if _, shown := in.shown[key(u, v)]; !shown {
		c++
	}
	return c
}

// costBound is at least the price of any admissible pair.
func (in *instance) costBound() int64 {
	var far int64
	for i := range in.n {
		for _, x := range in.plain[i*in.width : (i+1)*in.width] {
			far = max(far, abs(x))
		}
	}
	// A mean of squares is at most the largest square; the plain numbers of RMS are sums of two.
	bound := 2000 * far
	if in.metric == Max {
		bound *= slices.Max(in.weigh)
	}
	if m := in.nanometres(in.most); in.most < never && m < bound {
		bound = m
	}
	return (bound+in.penalty)*in.factor + 1
}
