package stats

import (
	"bufio"
	"encoding/json"
	"math"
	"os"
	"testing"
)

// digits is the number of correct decimal digits, at most 16.
func digits(got, want float64) float64 {
	if got == want {
		return 16
	}
	return math.Min(16, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

// NIST Statistical Reference Datasets, univariate: certified values. Goal: 13 digits of the mean and 12
// of the standard deviation, where the data as doubles allow it: NumAcc3 and NumAcc4 hold tenths
// beside 1e6 and 1e7 and are no longer the certified data once stored.
func TestReferenceDatasets(t *testing.T) {
	type set struct {
		name           string
		x              []float64
		mean, sd, lag1 float64
		sdDigits       float64
	}
	sets := []set{
		{"NumAcc2", []float64{1.2}, 1.2, 0.1, -0.999, 12},
		{"NumAcc4", []float64{10000000.2}, 10000000.2, 0.1, -0.999, 8},
	}
	for range 500 {
		sets[0].x = append(sets[0].x, 1.1, 1.3)
		sets[1].x = append(sets[1].x, 10000000.1, 10000000.3)
	}
	f, err := os.Open("../../testdata/checks/metrology.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<20)
	for sc.Scan() {
		var c struct {
			ID, Kind string
			Input    struct{ X []float64 }
			Output   struct{ Mean, SD, Lag1 float64 }
		}
		// Other kinds have other inputs: only their kind is of interest.
		if err := json.Unmarshal(sc.Bytes(), &struct{ Kind *string }{&c.Kind}); err != nil {
			t.Fatal(err)
		}
		if c.Kind != "stat.summary" {
			continue
		}
		if err := json.Unmarshal(sc.Bytes(), &c); err != nil {
			t.Fatal(err)
		}
		s := set{c.ID, c.Input.X, c.Output.Mean, c.Output.SD, c.Output.Lag1, 12}
		if c.ID == "n_strd_numacc3" {
			s.sdDigits = 9
		}
		sets = append(sets, s)
	}
	if err := sc.Err(); err != nil {
		t.Fatal(err)
	}
	if len(sets) < 7 {
		t.Fatalf("only %d data sets", len(sets))
	}
	for _, s := range sets {
		got := must[Summary](t)(Summarise(s.x))
		m, d, l := digits(got.Mean, s.mean), digits(got.SD, s.sd), digits(got.Lag1, s.lag1)
		t.Logf("%-16s digits: mean %.1f, sd %.1f, lag1 %.1f", s.name, m, d, l)
		if m < 13 || d < s.sdDigits || l < s.sdDigits-1 {
			t.Errorf("%s: digits of mean %.1f, sd %.1f (want %g), lag1 %.1f", s.name, m, d, s.sdDigits, l)
		}
	}
}

func TestSummariseRefusesAndDegrades(t *testing.T) {
	_, err := Summarise([]float64{1})
	refused(t, "one value", err, TooFewPoints, "x")
	_, err = Summarise([]float64{1, math.NaN()})
	refused(t, "NaN", err, OutOfRange, "x[1]")
	_, err = Summarise([]float64{math.Inf(1), 1})
	refused(t, "infinity", err, OutOfRange, "x[0]")
	s := must[Summary](t)(Summarise([]float64{3, 3, 3}))
	if s.Mean != 3 || s.SD != 0 || !math.IsNaN(s.Lag1) {
		t.Errorf("equal values: %+v", s)
	}
}

// NIST/SEMATECH e-Handbook 7.2.6.2: the 90th percentile of twelve measurements is 95.1981.
func TestPercentile(t *testing.T) {
	x := []float64{95.1772, 95.1567, 95.1937, 95.1959, 95.1442, 95.0610, 95.1591, 95.1195, 95.1065, 95.0925, 95.1990, 95.1682}
	near(t, "90th percentile", must[float64](t)(Percentile(x, 0.9)), 95.1981, 0, 5e-5)
	near(t, "beyond the top", must[float64](t)(Percentile(x, 0.999)), 95.1990, 0, 0)
	near(t, "beyond the bottom", must[float64](t)(Percentile(x, 0.001)), 95.0610, 0, 0)
	_, err := Percentile(x, 1)
	refused(t, "p = 1", err, OutOfRange, "p")
}

// JCGM 100:2008 H.3, thermometer calibration (data from memory, all printed digits reproduced): readings
// less 20 C, and corrections.
func TestThermometerLine(t *testing.T) {
	temperature := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	correction := []float64{-.171, -.169, -.166, -.159, -.164, -.165, -.156, -.157, -.159, -.161, -.160}
	x := make([]float64, len(temperature))
	for i, v := range temperature {
		x[i] = v - 20
	}
	l := must[Line](t)(FitLine(x, correction))
	printed(t, "y1", l.Intercept, -0.1712, 4)
	printed(t, "u(y1)", l.UIntercept, 0.0029, 4)
	printed(t, "y2", l.Slope, 0.00218, 5)
	printed(t, "u(y2)", l.USlope, 0.00067, 5)
	printed(t, "r(y1, y2)", l.Correlation, -0.930, 3)
	printed(t, "s", l.ResidualSD, 0.0035, 4)
	b, u, err := l.At(10)
	if err != nil {
		t.Fatal(err)
	}
	printed(t, "b(30 C)", b, -0.1494, 4)
	printed(t, "u(b)", u, 0.0041, 4)
}

func TestFitLineRefuses(t *testing.T) {
	_, err := FitLine([]float64{1, 2}, []float64{1, 2})
	refused(t, "two points", err, TooFewPoints, "x")
	_, err = FitLine([]float64{1, 2, 3}, []float64{1, 2, 3, 4})
	refused(t, "unequal counts", err, BadShape, "y")
	_, err = FitLine([]float64{2, 2, 2}, []float64{1, 2, 3})
	refused(t, "equal x", err, NoSpread, "x")
	l := must[Line](t)(FitLine([]float64{1, 2, 3}, []float64{5, 5, 5}))
	if l.Slope != 0 || l.Intercept != 5 || l.CorrelationXY != 0 || l.ResidualSD != 0 {
		t.Errorf("level line: %+v", l)
	}
	if _, _, err := l.At(math.NaN()); err == nil {
		t.Error("the line was read at NaN")
	}
}
