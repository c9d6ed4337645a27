package qc

import "springline/qc/length"

// StationPairs counts the mirrored station pairs of the round: A1..Ak with B1..Bk.
func (t Target) StationPairs() int {
	for k := 1; ; k++ {
		_, a := t.Characteristic(stationID('A', k))
		_, b := t.Characteristic(stationID('B', k))
		if !a || !b {
			return k - 1
		}
	}
}

// PairPlaces names what two ribs are compared by: tip-to-tip, crown height, A1..Ak, B1..Bk.
func (t Target) PairPlaces() []CharID {
	k := t.StationPairs()
	ids := make([]CharID, 0, 2+2*k)
	ids = append(ids, Tip, Crown)
	for _, side := range []byte{'A', 'B'} {
		for i := 1; i <= k; i++ {
			ids = append(ids, stationID(side, i))
		}
	}
	return ids
}

// PairDeviations are the deviations of a judged rib at its PairPlaces, in micrometres. What the round
// leaves out counts as fitting.
func (t Target) PairDeviations(v Verdict) []int32 {
	ids := t.PairPlaces()
	dev := make([]int32, len(ids))
	for i, id := range ids {
		if j, ok := v.Of(id); ok && j.Measured {
			dev[i] = int32(j.Dev.Dev.Round(length.Micrometre, length.TieEven) / length.Micrometre)
		}
	}
	return dev
}

// opposite is the place of a turned rib that stands at place i of the other, among n places: A1 against
// B1. Tip-to-tip and crown stand against themselves.
func opposite(i, n int) int {
	if i < 2 {
		return i
	}
	k := (n - 2) / 2
	return 2 + (i-2+k)%(2*k)
}

// LargestDifference is where two ribs differ most as they stand, B turned end for end if flip is set: the
// place of A and A's deviation less B's. place is -1 for ribs that cannot be compared.
func LargestDifference(a, b []int32, flip bool) (place int, diff length.Length) {
	place = -1
	if len(a) == 0 || len(a) != len(b) {
		return place, 0
	}
	most := int32(-1)
	for i := range a {
		j := i
		if flip {
			j = opposite(i, len(a))
		}
		if d := max(a[i]-b[j], b[j]-a[i]); d > most {
			most, place, diff = d, i, length.Length(a[i]-b[j])*length.Micrometre
		}
	}
	return place, diff
}

// TagLegs are the legs of ribs A and B of a pair that stand on one side, where the tag that holds the
// pair together is tied. Turned says that the whole pair stands turned end for end in the run order, so
// that every tag of a run hangs on the same side.
func TagLegs(flip, turned bool) (a, b byte) {
	a, b = 'A', 'A'
	if turned {
		a, b = 'B', 'B'
	}
	if flip {
		b = 'A' + 'B' - b
	}
	return a, b
}

// PathGap is how far a length may be above the least there can be, in thousandths of the bound, rounded up;
// ok is false for a bound of nothing, against which no share can be told.
func PathGap(found, bound length.Length) (permille int64, ok bool) {
	if bound <= 0 {
		return 0, false
	}
	return int64((1000*(found-bound) + bound - 1) / bound), true
}
