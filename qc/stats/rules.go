package stats

import "math"

// ChartRule is a test for patterns on a control chart.
type ChartRule int

// Nelson's eight tests (Nelson 1984, Journal of Quality Technology 16, 237-239) and the fourth test of
// the Western Electric handbook (1956), eight in a row on one side.
const (
	Nelson1 ChartRule = iota // one beyond 3 sigma
	Nelson2                  // nine in a row on one side of the centre line
	Nelson3                  // six in a row steadily rising or falling
	Nelson4                  // fourteen in a row alternating up and down
	Nelson5                  // two of three beyond 2 sigma on one side
	Nelson6                  // four of five beyond 1 sigma on one side
	Nelson7                  // fifteen in a row within 1 sigma
	Nelson8                  // eight in a row beyond 1 sigma, on either side
	WesternElectric4
	ruleCount
)

// ChartRules lists every test.
func ChartRules() []ChartRule {
	rs := make([]ChartRule, ruleCount)
	for i := range rs {
		rs[i] = ChartRule(i)
	}
	return rs
}

// String is the short name used by the scripting door: n1 to n8 and we4.
func (r ChartRule) String() string {
	if r == WesternElectric4 {
		return "we4"
	}
	return "n" + string(rune('1'+r))
}

// First is the 1-based index of the first point of z that completes the pattern, 0 if none does; z is in units
// of sigma from the centre line. A point on the centre line breaks a run, a point on a zone line is not
// beyond it, equal neighbours break steady and alternating runs, and for two of three and four of
// five the completing point is itself in the zone.
func (r ChartRule) First(z []float64) int {
	st := runs{}
	for i := range z {
		st.next(z, i)
		if r.completes(z, i, &st) {
			return i + 1
		}
	}
	return 0
}

// runs counts how long each kind of run is that ends at the current point.
type runs struct {
	side        int // points on one side of the centre line
	steady      int // points rising or falling
	alternating int // points going up and down in turn
	within      int // points within 1 sigma
	beyond      int // points beyond 1 sigma
}

func (s *runs) next(z []float64, i int) {
	v := z[i]
	switch {
	case v == 0:
		s.side = 0
	case i > 0 && s.side > 0 && (v > 0) == (z[i-1] > 0):
		s.side++
	default:
		s.side = 1
	}
	if math.Abs(v) > 1 {
		s.within, s.beyond = 0, s.beyond+1
	} else {
		s.within, s.beyond = s.within+1, 0
	}
	step, last := 0, 0
	if i > 0 {
		step = sign(v - z[i-1])
	}
	if i > 1 {
		last = sign(z[i-1] - z[i-2])
	}
	// A run of steps restarts with the two points of the present step, or with this point alone.
	run := func(n int, goesOn bool) int {
		switch {
		case step == 0:
			return 1
		case goesOn:
			return n + 1
		default:
			return 2
		}
	}
	s.steady = run(s.steady, step == last)
	s.alternating = run(s.alternating, step == -last)
}

func (r ChartRule) completes(z []float64, i int, s *runs) bool {
	switch r {
	case Nelson1:
		return math.Abs(z[i]) > 3
	case Nelson2:
		return s.side >= 9
	case Nelson3:
		return s.steady >= 6
	case Nelson4:
		return s.alternating >= 14
	case Nelson5:
		return zone(z, i, 3, 2, 2)
	case Nelson6:
		return zone(z, i, 5, 4, 1)
	case Nelson7:
		return s.within >= 15
	case Nelson8:
		return s.beyond >= 8
	case WesternElectric4:
		return s.side >= 8
	}
	return false
}

// zone reports whether at least need of the last span points, this one among them, lie beyond the line
// on the side of this one.
func zone(z []float64, i, span, need int, line float64) bool {
	if math.Abs(z[i]) <= line {
		return false
	}
	side, n := math.Copysign(1, z[i]), 0
	for j := max(0, i-span+1); j <= i; j++ {
		if side*z[j] > line {
			n++
		}
	}
	return n >= need
}

func sign(v float64) int {
	switch {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}
