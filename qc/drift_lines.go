package qc

import (
	"fmt"
	"math"
	"strings"

	"springline/qc/stats"
	"springline/qc/words"
)

// DriftQuiet is what is known of the jig as long as nothing has happened to it.
func DriftQuiet(t Target, bent []Bent) words.Finding {
	var s *Stretch
	for _, id := range watched {
		d := NewDrift(t, bent, id)
		if n := d.Now(); n != nil && (s == nil || len(n.Points) > len(s.Points)) {
			s = n
		}
	}
	switch {
	case s == nil:
		return words.JigUnmeasured{From: DriftFrom}
	case len(s.Points) < DriftFrom:
		return words.JigTooFew{From: DriftFrom, DriftBasis: s.basis()}
	}
	return words.JigSteady{DriftBasis: s.basis()}
}

// Lines are the figures behind the chart of the stretch being bent, those left out for which there are too few
// ribs. Patterns and tests stand here for whoever looks; only the sentence speaks up.
func (d Drift) Lines() []Line {
	s := d.Now()
	if s == nil {
		return nil
	}
	lines := []Line{{"ribs", s.note()}}
	if len(d.Stretches) > 1 {
		lines[0].Value += fmt.Sprintf("; the chart starts afresh at each set-up and lot, %d in all", len(d.Stretches))
	}
	if !s.Limits {
		return append(lines, Line{"limits", fmt.Sprintf("from %d ribs on", DriftFrom)})
	}
	limits := "limits"
	if s.Provisional {
		limits = "provisional limits"
	}
	lines = append(lines,
		Line{"mean deviation", words.SignedDecimals(s.Chart.Mean, 2) + " mm"},
		Line{limits, fmt.Sprintf("%s to %s mm (mean ± 3 sigma, sigma from the mean moving range of %.2f mm)",
			words.SignedDecimals(s.Chart.Lower, 2), words.SignedDecimals(s.Chart.Upper, 2), s.Chart.MeanRange)},
		Line{"beyond the limits", s.named(s.Chart.Signals)},
		Line{"jumps from one rib to the next", s.named(s.Chart.RangeSignals)})
	x := make([]float64, len(s.Points))
	for i, p := range s.Points {
		x[i] = p.MM
	}
	if len(x) >= stats.ProvisionalBelow {
		lines = append(lines, Line{"patterns", s.patterns(x)})
	}
	return append(lines, s.tests(x)...)
}

// named lists ribs by their 1-based place in the stretch.
func (s *Stretch) named(at []int) string {
	var ids []string
	for _, i := range at {
		ids = append(ids, s.Points[i-1].ID)
	}
	switch {
	case len(ids) == 0:
		return "none"
	case len(ids) > 8:
		return fmt.Sprintf("%d ribs, the first %s and the last %s", len(ids), ids[0], ids[len(ids)-1])
	}
	return "rib " + strings.Join(ids, ", ")
}

// patternText are the run rules in the words of the bench (Nelson 1984).
var patternText = map[stats.ChartRule]string{
	stats.Nelson2: "nine in a row on one side of the mean",
	stats.Nelson3: "six in a row rising or falling",
	stats.Nelson4: "fourteen in a row up and down in turn",
	stats.Nelson5: "two of three beyond 2 sigma",
	stats.Nelson6: "four of five beyond 1 sigma",
	stats.Nelson7: "fifteen in a row within 1 sigma",
	stats.Nelson8: "eight in a row beyond 1 sigma",
}

func (s *Stretch) patterns(x []float64) string {
	if s.Chart.Sigma == 0 {
		return "none: the ribs read the same"
	}
	z := make([]float64, len(x))
	for i, v := range x {
		z[i] = (v - s.Chart.Mean) / s.Chart.Sigma
	}
	var found []string
	for _, r := range stats.ChartRules() {
		if text, ok := patternText[r]; ok {
			if i := r.First(z); i > 0 {
				found = append(found, fmt.Sprintf("%s, first complete at rib %s", text, s.Points[i-1].ID))
			}
		}
	}
	if len(found) == 0 {
		return "none"
	}
	return strings.Join(found, "; ")
}

// tests are the trend and the change point, side by side: a step fools a trend test and a trend a step test.
func (s *Stretch) tests(x []float64) []Line {
	var lines []Line
	if t, err := stats.MannKendall(x); err == nil {
		text := fmt.Sprintf("%s mm a rib in the middle (%s)", words.SignedDecimals(t.SenSlope, 2), probability(t.P))
		if sum, err := stats.Summarise(x); err == nil && math.Abs(sum.Lag1) > 0.2 {
			text += fmt.Sprintf("; neighbours are alike (r = %.2f), so p is too small", sum.Lag1)
		}
		lines = append(lines, Line{"trend (Mann-Kendall)", text})
	}
	if c, err := stats.ChangePoint(x); err == nil {
		lines = append(lines, Line{"likeliest change (Pettitt)", fmt.Sprintf("after rib %s, from %s to %s mm (%s)",
			s.Points[c.After-1].ID, words.SignedDecimals(c.MeanBefore, 2), words.SignedDecimals(c.MeanAfter, 2), probability(c.PettittP))})
	}
	return lines
}
