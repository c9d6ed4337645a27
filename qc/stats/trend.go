package stats

import (
	"math"
	"slices"
)

// Trend is a test for a monotone trend in a series.
type Trend struct {
	S        int64   `json:"s" doc:"pairs that rise less pairs that fall"`
	Variance float64 `json:"variance" doc:"of s without a trend, ties allowed for"`
	Z        float64 `json:"z" doc:"normal score with continuity correction"` // 0 where all values are equal
	P        float64 `json:"p" doc:"two-sided"`
	SenSlope float64 `json:"sen_slope" doc:"median slope of all pairs, unit of x per step"`
}

// MannKendall tests at least three values in order (Mann 1945; Kendall 1975; slope by Sen 1968). It assumes
// independent values: with an autocorrelation above 0.2 the p-value is too small.
func MannKendall(x []float64) (Trend, error) {
	if err := checkData("x", x, 3); err != nil {
		return Trend{}, err
	}
	n := int64(len(x))
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	f := float64(n)
	v := f * (f - 1) * (2*f + 5)
	tiedPairs := int64(0)
	for i := 0; i < len(sorted); {
		j := i
		for j < len(sorted) && sorted[j] == sorted[i] {
			j++
		}
		k := int64(j - i)
		t := float64(k)
		v -= t * (t - 1) * (2*t + 5)
		tiedPairs += k * (k - 1) / 2
		i = j
	}
	falls := inversions(slices.Clone(x), nil)
	t := Trend{S: n*(n-1)/2 - tiedPairs - 2*falls, Variance: v / 18, P: 1}
	if t.S != 0 && t.Variance > 0 {
		t.Z = (float64(t.S) - math.Copysign(1, float64(t.S))) / math.Sqrt(t.Variance)
		t.P = 2 * normalCDF(-math.Abs(t.Z))
	}
	t.SenSlope = senSlope(x, falls, tiedPairs)
	return t, nil
}

// inversions counts the pairs that stand in falling order, strictly, by merge sort of x in place.
func inversions(x, buf []float64) int64 {
	if buf == nil {
		buf = make([]float64, len(x))
	}
	if len(x) < 2 {
		return 0
	}
	h := len(x) / 2
	count := inversions(x[:h], buf[:h]) + inversions(x[h:], buf[h:])
	a, b := x[:h], x[h:]
	i, j := 0, 0
	for k := range buf[:len(x)] {
		if j == len(b) || i < len(a) && a[i] <= b[j] {
			buf[k] = a[i]
			i++
		} else {
			buf[k] = b[j]
			j++
			count += int64(len(a) - i)
		}
	}
	copy(x, buf[:len(x)])
	return count
}
