package stats

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// NIST/SEMATECH e-Handbook 6.3.2.2 (data from memory, limits confirmed there): mean 50.81, mean range
// 1.8778, limits 55.8041 and 45.8159 with d2 rounded to 1.128, so 0.002 apart from the exact ones.
func TestIndividuals(t *testing.T) {
	c := must[Individuals](t)(ChartIndividuals([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}))
	near(t, "mean", c.Mean, 50.81, 1e-14, 0)
	printed(t, "mean range", c.MeanRange, 1.8778, 4)
	near(t, "upper", c.Upper, 55.8041, 0, 0.002)
	near(t, "lower", c.Lower, 45.8159, 0, 0.002)
	near(t, "E2", (c.Upper-c.Mean)/c.MeanRange, 2.6587, 0, 5e-5) // ISO 7870-2 prints 2.660
	near(t, "D4", c.UpperRange/c.MeanRange, 3.2665, 0, 5e-5)     // prints 3.267
	if len(c.Signals) != 0 || c.Signals == nil || !c.Provisional {
		t.Errorf("signals %v, provisional %v", c.Signals, c.Provisional)
	}
	jump := must[Individuals](t)(ChartIndividuals([]float64{1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 1, 2, 9, 1, 2}))
	if !slices.Equal(jump.Signals, []int{21}) || !slices.Equal(jump.RangeSignals, []int{21, 22}) || jump.Provisional {
		t.Errorf("a jump at 21 gave %v, ranges %v", jump.Signals, jump.RangeSignals)
	}
	level := must[Individuals](t)(ChartIndividuals([]float64{5, 5, 5}))
	if level.Upper != 5 || len(level.Signals) != 0 {
		t.Errorf("a level series: %+v", level)
	}
	_, err := ChartIndividuals([]float64{5})
	refused(t, "one value", err, TooFewPoints, "x")
}

// NIST/SEMATECH e-Handbook 6.3.2.4: weight 0.3, s 2.0539, width 3: limits 52.5884 and 47.4115 (printed
// truncated), first averages 50.60 and 49.52, last 51.99.
func TestEWMA(t *testing.T) {
	x := []float64{52, 47, 53, 49.3, 50.1, 47, 51, 50.1, 51.2, 50.5, 49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1}
	c := must[EWMA](t)(ChartEWMA(x, 0.3, 50, 2.0539, 3))
	printed(t, "upper", c.Upper, 52.5884, 4)
	near(t, "lower", c.Lower, 47.4115, 0, 1e-4)
	printed(t, "first", c.Values[0], 50.60, 2)
	printed(t, "second", c.Values[1], 49.52, 2)
	printed(t, "last", c.Values[19], 51.99, 2)
	if len(c.Signals) != 0 || len(c.EarlySignals) != 0 {
		t.Errorf("signals %v and %v, want none", c.Signals, c.EarlySignals)
	}
	// A first value 3.1 sigma off is within the steady limits and beyond the early one.
	c = must[EWMA](t)(ChartEWMA([]float64{3.1, 0}, 0.3, 0, 1, 3))
	if len(c.Signals) != 0 || !slices.Equal(c.EarlySignals, []int{1}) {
		t.Errorf("signals %v, early %v", c.Signals, c.EarlySignals)
	}
	// Weight 1 is the plain chart.
	c = must[EWMA](t)(ChartEWMA([]float64{3, 3.0001, -3.0001}, 1, 0, 1, 3))
	if !slices.Equal(c.Signals, []int{2, 3}) {
		t.Errorf("weight 1 signals at %v", c.Signals)
	}
	for field, f := range map[string]func() (EWMA, error){
		"weight": func() (EWMA, error) { return ChartEWMA(x, 0, 0, 1, 3) },
		"sigma":  func() (EWMA, error) { return ChartEWMA(x, 1, 0, 0, 3) },
		"width":  func() (EWMA, error) { return ChartEWMA(x, 1, 0, 1, -3) },
		"start":  func() (EWMA, error) { return ChartEWMA(x, 1, math.Inf(1), 1, 3) },
	} {
		_, err := f()
		refused(t, field, err, OutOfRange, field)
	}
}

// The rows follow from the recursion by hand.
func TestCUSUMByHand(t *testing.T) {
	c := must[CUSUM](t)(ChartCUSUM([]float64{1, 3, -1, 2, 4, -9, 0}, 1, 0.5, 3))
	if want := []float64{0, 1.5, 0, 0.5, 3, 0, 0}; !slices.Equal(c.High, want) {
		t.Errorf("high %v, want %v", c.High, want)
	}
	if want := []float64{0, 0, 1.5, 0, 0, 9.5, 10}; !slices.Equal(c.Low, want) {
		t.Errorf("low %v, want %v", c.Low, want)
	}
	if !slices.Equal(c.Signals, []int{6, 7}) || c.Since != 6 {
		t.Errorf("signals %v since %d; a sum equal to the interval is no signal", c.Signals, c.Since)
	}
	c = must[CUSUM](t)(ChartCUSUM([]float64{0, 0, 2, 2, 2}, 0, 0.5, 4))
	if !slices.Equal(c.Signals, []int{5}) || c.Since != 3 {
		t.Errorf("a shift at 3 gave %v since %d", c.Signals, c.Since)
	}
	_, err := ChartCUSUM([]float64{1}, 0, -1, 1)
	refused(t, "slack", err, OutOfRange, "slack")
	_, err = ChartCUSUM([]float64{1}, 0, 1, 0)
	refused(t, "decision", err, OutOfRange, "decision")
}

// meanRun simulates how many points pass before the first signal; first returns it, 0 for none yet.
func meanRun(rng *rand.Rand, runs int, shift float64, first func(z []float64) int) (arl, se float64) {
	var sum, squares float64
	for range runs {
		z := []float64{}
		at := 0
		for n := 64; at == 0; n *= 4 {
			for len(z) < n {
				z = append(z, shift+rng.NormFloat64())
			}
			at = first(z)
		}
		sum += float64(at)
		squares += float64(at) * float64(at)
	}
	f := float64(runs)
	return sum / f, math.Sqrt((squares/f - sum/f*sum/f) / f)
}

// Average run lengths, simulated through the charts themselves with a fixed seed. Published: Champ and
// Woodall 1987 for the Western Electric rules (91.75 for all four, confirmed through NIST/SEMATECH
// e-Handbook 6.3.2; single ones from memory, reproduced by Markov chain); NIST for 3 sigma (370.4); Montgomery for the
// cumulative sum (168, 8.38, 465, 10.4; reproduced by integral equation 167.7 and 465.4). The nine in
// a row value was computed by Markov chain.
func TestAverageRunLengths(t *testing.T) {
	rng := rand.New(rand.NewPCG(1984, 237))
	rules := func(rs ...ChartRule) func(z []float64) int {
		return func(z []float64) int {
			first := 0
			for _, r := range rs {
				if at := r.First(z); at > 0 && (first == 0 || at < first) {
					first = at
				}
			}
			return first
		}
	}
	cusum := func(k, h float64) func(z []float64) int {
		return func(z []float64) int {
			c := must[CUSUM](t)(ChartCUSUM(z, 0, k, h))
			if len(c.Signals) == 0 {
				return 0
			}
			return c.Signals[0]
		}
	}
	all := rules(Nelson1, Nelson5, Nelson6, WesternElectric4)
	for _, c := range []struct {
		name  string
		shift float64
		first func([]float64) int
		want  float64
		runs  int
	}{
		{"3 sigma", 0, rules(Nelson1), 370.4, 2000},
		{"3 sigma, shift 1", 1, rules(Nelson1), 43.9, 4000},
		{"all four", 0, all, 91.75, 8000},
		{"all four, shift 1", 1, all, 9.22, 8000},
		{"all four, shift 2", 2, all, 3.13, 8000},
		{"two of three", 0, rules(Nelson1, Nelson5), 225.44, 3000},
		{"four of five", 0, rules(Nelson1, Nelson6), 166.05, 4000},
		{"eight in a row", 0, rules(Nelson1, WesternElectric4), 152.73, 4000},
		{"eight in a row, shift 1", 1, rules(Nelson1, WesternElectric4), 14.58, 8000},
		{"nine in a row", 0, rules(Nelson1, Nelson2), 216.70, 3000},
		{"nine in a row, shift 1", 1, rules(Nelson1, Nelson2), 17.05, 8000},
		{"cusum 4", 0, cusum(0.5, 4), 167.7, 4000},
		{"cusum 4, shift 1", 1, cusum(0.5, 4), 8.38, 8000},
		{"cusum 5", 0, cusum(0.5, 5), 465.4, 2000},
		{"cusum 5, shift 1", 1, cusum(0.5, 5), 10.38, 8000},
	} {
		got, se := meanRun(rng, c.runs, c.shift, c.first)
		if math.Abs(got-c.want) > 3.5*se {
			t.Errorf("%s: %.2f points between signals, published %.2f, standard error %.2f", c.name, got, c.want, se)
		}
	}
}

// Rule by rule at its edges; the sequences are made here from the wording in rules.go.
func TestRunRulesAtTheirEdges(t *testing.T) {
	rep := func(n int, v ...float64) []float64 { return slices.Repeat(v, n) }
	up := []float64{0.1, 0.2, 0.3, 0.4, 0.5, 0.6}
	for _, c := range []struct {
		name string
		rule ChartRule
		z    []float64
		want int
	}{
		{"on the 3 sigma line", Nelson1, []float64{3, -3}, 0},
		{"just beyond", Nelson1, []float64{3.0001, 0, -3.0001}, 1},
		{"eight is not nine", Nelson2, rep(8, 0.5), 0},
		{"nine and ten", Nelson2, rep(10, -0.5), 9},
		{"the centre line breaks", Nelson2, slices.Concat(rep(5, 0.5), []float64{0}, rep(8, 0.5)), 0},
		{"changing sides breaks", Nelson2, slices.Concat(rep(5, 0.5), rep(9, -0.5)), 14},
		{"five is not six", Nelson3, up[:5], 0},
		{"six rising", Nelson3, up, 6},
		{"six falling across the line", Nelson3, []float64{0.3, 0.2, 0.1, 0, -0.1, -0.2}, 6},
		{"equal neighbours break", Nelson3, []float64{0.1, 0.2, 0.3, 0.3, 0.4, 0.5, 0.6}, 0},
		{"a turn starts anew", Nelson3, []float64{0.9, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6}, 7},
		{"thirteen alternating", Nelson4, rep(7, 0.1, -0.1)[:13], 0},
		{"fourteen alternating", Nelson4, rep(7, 0.1, -0.1), 14},
		{"an equal pair breaks", Nelson4, slices.Concat(rep(6, 0.1, -0.1), rep(3, -0.1, 0.1)), 0},
		{"two of two suffice", Nelson5, []float64{2.1, 2.2}, 2},
		{"two of four do not", Nelson5, []float64{2.1, 0, 0, 2.2}, 0},
		{"opposite sides", Nelson5, []float64{2.1, -2.2, 0}, 0},
		{"on the 2 sigma line", Nelson5, []float64{2, 2, 2}, 0},
		{"the completing point is in the zone", Nelson5, []float64{0, 2.1, 2.2, 0, 0}, 3},
		{"four of five", Nelson6, []float64{1.1, 1.1, 0, 1.1, 1.1, 0.9}, 5},
		{"four of six", Nelson6, []float64{1.1, 1.1, 0, 0, 1.1, 1.1}, 0},
		{"on the 1 sigma line", Nelson6, rep(5, 1.0), 0},
		{"below", Nelson6, rep(4, -1.5), 4},
		{"fourteen within", Nelson7, rep(14, 0.5), 0},
		{"fifteen within, the line is not beyond", Nelson7, rep(15, 1.0), 15},
		{"beyond breaks", Nelson7, slices.Concat(rep(8, 0.5), []float64{1.1}, rep(8, 0.5)), 0},
		{"eight beyond", Nelson8, rep(4, 1.1, -1.1), 8},
		{"on the line is not beyond", Nelson8, slices.Concat(rep(7, 1.1), []float64{1}), 0},
		{"seven in a row", WesternElectric4, rep(7, 0.5), 0},
		{"eight in a row", WesternElectric4, rep(9, 0.5), 8},
	} {
		if got := c.rule.First(c.z); got != c.want {
			t.Errorf("%s, %s: complete at %d, want %d", c.rule, c.name, got, c.want)
		}
	}
	if len(ChartRules()) != 9 || ChartRules()[8].String() != "we4" || ChartRules()[0].String() != "n1" || ChartRules()[7].String() != "n8" {
		t.Errorf("the rules are %v", ChartRules())
	}
}

// The mean range of n standard normal values, int P(R > r) dr: d2 of the control chart tables, 1.128 for two,
// 1.693, 2.059, 2.326 for five, 3.078 for ten and 3.931 for 25 (Tippett 1925; printed in ISO 7870-2).
func TestRangeDistribution(t *testing.T) {
	for n, want := range map[int]float64{2: 1.128, 3: 1.693, 4: 2.059, 5: 2.326, 10: 3.078, 25: 3.931} {
		printed(t, "d2", integral(func(r float64) float64 { return 1 - rangeCDF(r, n) }, 1e-10, 0, 1, 2, 4, 8, 14), want, 3)
	}
}

// Critical range factors at 95 %, computed and as ISO 5725-6 prints them (2.8 3.3 3.6 3.9 4.0, from
// memory); n = 2 is 1.96 sqrt 2.
func TestCriticalRange(t *testing.T) {
	for n, want := range map[int]float64{2: 2.77, 3: 3.31, 4: 3.63, 5: 3.86, 6: 4.03} {
		printed(t, "f", must[float64](t)(CriticalRange(n, 0.95)), want, 2)
	}
	near(t, "f(2)", must[float64](t)(CriticalRange(2, 0.95)), 1.959963984540054*math.Sqrt2, 1e-9, 0)
	near(t, "R 4.2 qtukey(.95,3,Inf)", must[float64](t)(CriticalRange(3, 0.95)), 3.314493, 2e-7, 0)
	_, err := CriticalRange(1, 0.95)
	refused(t, "one reading", err, OutOfRange, "n")
	_, err = CriticalRange(2, 1)
	refused(t, "certainty", err, OutOfRange, "confidence")
}
