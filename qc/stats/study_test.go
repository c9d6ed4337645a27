package stats

import (
	"math"
	"testing"
)

// aiag is the reference study of AIAG Measurement Systems Analysis, 4th ed.: ten parts, three people,
// three trials, here as [person][trial][part] in the book's order.
func aiag() [][][]float64 {
	book := [3][3][10]float64{
		{{.29, -.56, 1.34, .47, -.80, .02, .59, -.31, 2.26, -1.36}, {.41, -.68, 1.17, .50, -.92, -.11, .75, -.20, 1.99, -1.25}, {.64, -.58, 1.27, .64, -.84, -.21, .66, -.17, 2.01, -1.31}},
		{{.08, -.47, 1.19, .01, -.56, -.20, .47, -.63, 1.80, -1.68}, {.25, -1.22, .94, 1.03, -1.20, .22, .55, .08, 2.12, -1.62}, {.07, -.68, 1.34, .20, -1.28, .06, .83, -.34, 2.19, -1.50}},
		{{.04, -1.38, .88, .14, -1.46, -.29, .02, -.46, 1.77, -1.49}, {-.11, -1.13, 1.09, .20, -1.07, -.67, .01, -.56, 1.45, -1.77}, {-.15, -.96, .67, .11, -1.45, -.49, .21, -.49, 1.87, -2.16}},
	}
	readings := make([][][]float64, 10)
	for i := range readings {
		readings[i] = make([][]float64, 3)
		for j := range 3 {
			for k := range 3 {
				readings[i][j] = append(readings[i][j], book[j][k][i])
			}
		}
	}
	return readings
}

// AIAG, 4th ed., analysis of variance of the reference study (data and range results confirmed in public
// copies, table from memory, all digits reproduced).
func TestReferenceStudy(t *testing.T) {
	s := must[Study](t)(CrossedStudy(aiag()))
	printed(t, "SS part", s.SSPart, 88.3619, 4)
	printed(t, "SS operator", s.SSOperator, 3.1673, 4)
	printed(t, "SS interaction", s.SSInteraction, .3590, 4)
	printed(t, "SS repeat", s.SSRepeat, 2.7589, 4)
	printed(t, "F interaction", s.FInteraction, .434, 3)
	printed(t, "repeat", s.SDRepeat, .19993, 5)
	printed(t, "operator", s.SDOperator, .22684, 5)
	printed(t, "gauge", s.SDGauge, .30237, 5)
	printed(t, "part", s.SDPart, 1.04233, 5)
	if !s.Pooled || s.Categories != 4 || s.DofRepeat != 78 || s.SDInteraction != 0 {
		t.Errorf("pooled %v, %d categories, %d degrees of freedom", s.Pooled, s.Categories, s.DofRepeat)
	}
	near(t, "p", s.PInteraction, 0.974, 0, 5e-4) // R 4.2: pf(.4337, 18, 60, lower=FALSE)
	// Six sigmas of the gauge in a tolerance of 4.
	near(t, "of tolerance", must[float64](t)(s.PercentOfTolerance(-2, 2)), 600*s.SDGauge/4, 1e-14, 0)
}

// By hand: cell means 1, 3 / 5, 11 with repeats +-1. Grand mean 5; parts 2, 8: SS 4*9*2 = 72; operators 3, 7:
// SS 4*4*2 = 32; interaction +-1: SS 2*4 = 8; repeat 8 of 2 each... 4 cells of 2: SS 8.
func TestStudyWithInteractionByHand(t *testing.T) {
	s := must[Study](t)(CrossedStudy([][][]float64{{{0, 2}, {2, 4}}, {{4, 6}, {10, 12}}}))
	near(t, "part", s.SSPart, 72, 1e-14, 0)
	near(t, "operator", s.SSOperator, 32, 1e-14, 0)
	near(t, "interaction", s.SSInteraction, 8, 1e-14, 0)
	near(t, "repeat", s.SSRepeat, 8, 1e-14, 0)
	near(t, "F", s.FInteraction, 4, 1e-14, 0)
	near(t, "p", s.PInteraction, 0.11611652351681556, 1e-9, 0) // P(F > 4) on 1 and 4: two-sided t = 2 on 4, R 4.2
	near(t, "sd repeat", s.SDRepeat, math.Sqrt(2), 1e-14, 0)
	near(t, "sd interaction", s.SDInteraction, math.Sqrt(3), 1e-14, 0)
	near(t, "sd operator", s.SDOperator, math.Sqrt(6), 1e-14, 0)
	near(t, "sd part", s.SDPart, math.Sqrt(16), 1e-14, 0)
	near(t, "sd gauge", s.SDGauge, math.Sqrt(11), 1e-14, 0)
	if s.Pooled || s.DofRepeat != 4 {
		t.Errorf("pooled %v with p %.3f", s.Pooled, s.PInteraction)
	}
}

func TestStudyWithoutSpread(t *testing.T) {
	same := must[Study](t)(CrossedStudy([][][]float64{{{1, 1}, {1, 1}}, {{1, 1}, {1, 1}}}))
	if same.SDGauge != 0 || same.SDPart != 0 || !math.IsNaN(same.FInteraction) || same.Categories != 0 || same.PercentOfTotal != 0 {
		t.Errorf("all equal: %+v", same)
	}
	coarse := must[Study](t)(CrossedStudy([][][]float64{{{1, 1}, {2, 2}}, {{2, 2}, {1, 1}}}))
	if coarse.Pooled || coarse.PInteraction != 0 || !math.IsNaN(coarse.FInteraction) || !(coarse.SDInteraction > 0) {
		t.Errorf("coarse repeats: %+v", coarse)
	}
	parts := must[Study](t)(CrossedStudy([][][]float64{{{1, 1}, {1, 1}}, {{2, 2}, {2, 2}}}))
	if parts.SDGauge != 0 || !(parts.SDPart > 0) || parts.Categories != 0 {
		t.Errorf("only parts differ: %+v", parts)
	}
	for field, r := range map[string][][][]float64{
		"readings":       {{{1, 2}, {1, 2}}},
		"readings[0]":    {{{1, 2}}, {{1, 2}}},
		"readings[0][0]": {{{1}, {1}}, {{1}, {1}}},
	} {
		_, err := CrossedStudy(r)
		refused(t, field, err, TooFewPoints, field)
	}
	for field, r := range map[string][][][]float64{
		"readings[1]":    {{{1, 2}, {1, 2}}, {{1, 2}}},
		"readings[1][1]": {{{1, 2}, {1, 2}}, {{1, 2}, {1, 2, 3}}},
	} {
		_, err := CrossedStudy(r)
		refused(t, field, err, BadShape, field)
	}
	_, err := CrossedStudy([][][]float64{{{1, math.NaN()}, {1, 2}}, {{1, 2}, {1, 2}}})
	refused(t, "NaN", err, OutOfRange, "readings[0][0][1]")
}
