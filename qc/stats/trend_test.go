package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// nile is the flow of the Nile at Aswan, 1871 to 1970, as R's base package holds it.
var nile = [...]float64{1120, 1160, 963, 1210, 1160, 1160, 813, 1230, 1370, 1140, 995, 935, 1110, 994, 1020, 960, 1180, 799, 958,
	1140, 1100, 1210, 1150, 1250, 1260, 1220, 1030, 1100, 774, 840, 874, 694, 940, 833, 701, 916, 692, 1020, 1050, 969, 831, 726, 456,
	824, 702, 1120, 1100, 832, 764, 821, 768, 845, 864, 862, 698, 845, 744, 796, 1040, 759, 781, 865, 845, 944, 984, 897, 822, 1010,
	771, 676, 649, 846, 812, 742, 801, 1040, 860, 874, 848, 890, 744, 749, 838, 1050, 918, 986,
	797, 923, 975, 815, 1020, 906, 901, 1170, 912, 746, 919, 718, 714, 740}

// Worked example by J. B. Little, College of the Holy Cross course note: S 54, variance 332.667, Z 2.9058,
// one-sided p 0.0018; two-sided p of R's cor.test.
func TestMannKendall(t *testing.T) {
	k := must[Trend](t)(MannKendall([]float64{12.9, 14.8, 13.2, 15.7, 13.8, 15.6, 12.9, 11.0, 17.3, 15.9, 19.0, 18.3, 20.1, 21.7}))
	if k.S != 54 {
		t.Errorf("S is %d, want 54", k.S)
	}
	printed(t, "variance", k.Variance, 332.667, 3)
	printed(t, "Z", k.Z, 2.9058, 4)
	printed(t, "p/2", k.P/2, 0.0018, 4)
	near(t, "p", k.P, 0.00366272376288244, 1e-10, 0)
	n := must[Trend](t)(MannKendall(nile[:]))
	near(t, "Nile Z", n.Z, -4.1280665228441, 1e-12, 0) // R 4.2: cor.test(1:100, Nile, kendall, continuity)
	level := must[Trend](t)(MannKendall([]float64{4, 4, 4}))
	if level.S != 0 || level.Z != 0 || level.P != 1 || level.SenSlope != 0 || level.Variance != 0 {
		t.Errorf("a level series: %+v", level)
	}
	_, err := MannKendall([]float64{1, 2})
	refused(t, "two values", err, TooFewPoints, "x")
}

// allSlopes is the median slope by definition.
func allSlopes(x []float64) float64 {
	var s []float64
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			s = append(s, (x[j]-x[i])/float64(j-i))
		}
	}
	return median(s)
}

// The narrowed search for the median slope gives the very number that listing all pairs gives.
func TestSenSlopeOfLongSeries(t *testing.T) {
	rng := rand.New(rand.NewPCG(1968, 2))
	for _, c := range []struct {
		name string
		n    int
		f    func(i int) float64
	}{
		{"noise", 1500, func(int) float64 { return rng.NormFloat64() }},
		{"trend", 1501, func(i int) float64 { return 0.01*float64(i) + rng.NormFloat64() }},
		{"tenths", 1400, func(i int) float64 { return math.Round(10*(0.0002*float64(i)+rng.NormFloat64())) / 10 }},
		{"whole numbers", 1200, func(int) float64 { return float64(rng.IntN(4)) }},
		{"straight", 900, func(i int) float64 { return 3 * float64(i) }},
		{"steep steps", 1000, func(i int) float64 { return math.Floor(float64(i) / 250) }},
		{"falling", 800, func(i int) float64 { return -math.Sqrt(float64(i)) }},
		{"alternating", 901, func(i int) float64 { return float64(i % 2) }},
		{"huge and tiny", 800, func(i int) float64 { return math.Exp(40*rng.NormFloat64()) * float64(i%3-1) }},
	} {
		x := make([]float64, c.n)
		for i := range x {
			x[i] = c.f(i)
		}
		got, want := must[Trend](t)(MannKendall(x)).SenSlope, allSlopes(x)
		near(t, c.name, got, want, 1e-14, 0)
	}
}

func TestPropertyTrendMirrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.SliceOfN(rapid.Map(rapid.IntRange(-20, 20), func(i int) float64 { return float64(i) }), 3, 60).Draw(t, "x")
		a, err := MannKendall(x)
		if err != nil {
			t.Fatal(err)
		}
		s := int64(0)
		for i := range x {
			for j := i + 1; j < len(x); j++ {
				s += int64(sign(x[j] - x[i]))
			}
		}
		if a.S != s {
			t.Fatalf("S is %d, by pairs %d", a.S, s)
		}
		slices.Reverse(x)
		b, err := MannKendall(x)
		if err != nil || b.S != -a.S || b.Variance != a.Variance || math.Abs(b.SenSlope+a.SenSlope) > 1e-12 {
			t.Fatalf("reversed: %+v, was %+v (%v)", b, a, err)
		}
	})
}

// Taylor 2000, US trade deficit of 24 months (data and location confirmed in public copies): change after
// month 11, greatest sum 17.0458, range 17.742; Pettitt K 130 at the same place.
func TestChangePoint(t *testing.T) {
	x := []float64{10.7, 13.0, 11.4, 11.5, 12.5, 14.1, 14.8, 14.1, 12.6, 16.0, 11.7, 10.6,
		10.0, 11.4, 7.9, 9.5, 8.0, 11.8, 10.5, 11.2, 9.2, 10.1, 10.4, 10.5}
	c := must[Change](t)(ChangePoint(x))
	if c.After != 11 || c.PettittAfter != 11 || c.PettittK != 130 {
		t.Errorf("%+v", c)
	}
	printed(t, "range", c.SumRange, 17.742, 3)
	printed(t, "p", c.PettittP, 0.0017, 4)
	// Cobb 1978 and many after: the Nile changed in 1898, its 28th year of record; K by R's rank().
	n := must[Change](t)(ChangePoint(nile[:]))
	if n.After != 28 || n.PettittAfter != 28 || n.PettittK != 1617 {
		t.Errorf("Nile: %+v", n)
	}
	near(t, "before", n.MeanBefore, 1097.75, 1e-14, 0)
	near(t, "after", n.MeanAfter, 849.972222222222, 1e-13, 0)
	_, err := ChangePoint([]float64{2, 2, 2, 2})
	refused(t, "level", err, NoSpread, "x")
	_, err = ChangePoint([]float64{2, 3})
	refused(t, "two values", err, TooFewPoints, "x")
}
