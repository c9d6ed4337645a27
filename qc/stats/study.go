package stats

import (
	"fmt"
	"math"
)

// Study is a crossed gauge study: every operator measures every part the same number of times.
type Study struct {
	Parts, Operators, Repeats                            int
	SSPart, SSOperator, SSInteraction, SSRepeat          float64
	FInteraction                                         float64 // NaN where repeats never differ
	PInteraction                                         float64
	Pooled                                               bool // interaction pooled with repeat: p above 0.25
	SDRepeat, SDOperator, SDInteraction, SDPart, SDGauge float64
	PercentOfTotal                                       float64 // 100 gauge/total
	Categories                                           int     // parts that can be told apart, floor(1.41 part/gauge)
	DofRepeat                                            int     // behind SDRepeat
}

// PoolAbove is the p-value above which the interaction is pooled with the repeat variation (AIAG
// Measurement Systems Analysis, 4th ed.).
const PoolAbove = 0.25

// CrossedStudy analyses readings[part][operator][repeat] by two-way analysis of variance with random
// effects (AIAG Measurement Systems Analysis, 4th ed., appendix A; ASTM E2782). Negative variances
// count as 0. At least two of each are needed.
func CrossedStudy(readings [][][]float64) (Study, error) {
	p, o, r, err := studyShape(readings)
	if err != nil {
		return Study{}, err
	}
	fp, fo, fr := float64(p), float64(o), float64(r)
	var all []float64
	parts, cells := make([]float64, p), make([][]float64, p)
	operators := make([]float64, o)
	byOperator := make([][]float64, o)
	for i, part := range readings {
		cells[i] = make([]float64, o)
		var own []float64
		for j, cell := range part {
			cells[i][j] = mean(cell)
			own = append(own, cell...)
			byOperator[j] = append(byOperator[j], cell...)
		}
		parts[i] = mean(own)
		all = append(all, own...)
	}
	for j := range operators {
		operators[j] = mean(byOperator[j])
	}
	grand := mean(all)
	s := Study{Parts: p, Operators: o, Repeats: r, FInteraction: math.NaN(), PInteraction: math.NaN()}
	s.SSPart = fo * fr * sumSquares(parts, grand)
	s.SSOperator = fp * fr * sumSquares(operators, grand)
	var inter, rep compensated
	for i := range cells {
		for j, m := range cells[i] {
			d := m - parts[i] - operators[j] + grand
			inter.add(d * d)
			rep.add(sumSquares(readings[i][j], m))
		}
	}
	s.SSInteraction, s.SSRepeat = fr*inter.value(), rep.value()
	s.dropNoise(all)
	s.components()
	return s, nil
}

// dropNoise sets sums of squares to zero that rounding alone makes of readings of that size: a gauge whose
// repeats never differ would else show an interaction of 1e-17.
func (s *Study) dropNoise(all []float64) {
	top := 0.0
	for _, x := range all {
		top = math.Max(top, math.Abs(x))
	}
	least := float64(len(all)) * square(8*0x1p-53*top)
	for _, ss := range []*float64{&s.SSPart, &s.SSOperator, &s.SSInteraction, &s.SSRepeat} {
		if *ss <= least {
			*ss = 0
		}
	}
}

func studyShape(readings [][][]float64) (p, o, r int, err error) {
	p = len(readings)
	if p < 2 {
		return 0, 0, 0, refuse(TooFewPoints, "readings", "holds %d parts; at least 2 are needed", p)
	}
	o = len(readings[0])
	if o < 2 {
		return 0, 0, 0, refuse(TooFewPoints, "readings[0]", "holds %d operators; at least 2 are needed", o)
	}
	r = len(readings[0][0])
	for i, part := range readings {
		if len(part) != o {
			return 0, 0, 0, refuse(BadShape, fmt.Sprintf("readings[%d]", i), "holds %d operators, the first part %d", len(part), o)
		}
		for j, cell := range part {
			field := fmt.Sprintf("readings[%d][%d]", i, j)
			if err := checkData(field, cell, 2); err != nil {
				return 0, 0, 0, err
			}
			if len(cell) != r {
				return 0, 0, 0, refuse(BadShape, field, "holds %d repeats, the first cell %d", len(cell), r)
			}
		}
	}
	return p, o, r, nil
}

// components turns sums of squares into standard deviations.
func (s *Study) components() {
	fp, fo, fr := float64(s.Parts), float64(s.Operators), float64(s.Repeats)
	dofInter, dofRepeat := (fp-1)*(fo-1), fp*fo*(fr-1)
	msPart, msOperator := s.SSPart/(fp-1), s.SSOperator/(fo-1)
	msInter, msRepeat := s.SSInteraction/dofInter, s.SSRepeat/dofRepeat
	switch {
	case msRepeat > 0:
		s.FInteraction = msInter / msRepeat
		s.PInteraction = fTail(s.FInteraction, dofInter, dofRepeat)
		s.Pooled = s.PInteraction > PoolAbove
	case msInter > 0: // repeats never differ, cells do: the interaction is beyond doubt
		s.PInteraction = 0
	default:
		s.Pooled = true
	}
	base, repeat := msInter, msRepeat
	s.DofRepeat = int(dofRepeat)
	if s.Pooled {
		repeat = (s.SSInteraction + s.SSRepeat) / (dofInter + dofRepeat)
		base = repeat
		s.DofRepeat = int(dofInter + dofRepeat)
	}
	variance := func(diff, over float64) float64 { return math.Max(0, diff) / over }
	inter := 0.0
	if !s.Pooled {
		inter = variance(msInter-msRepeat, fr)
	}
	operator, part := variance(msOperator-base, fp*fr), variance(msPart-base, fo*fr)
	s.spread(repeat, operator, inter, part)
}

// spread turns variances into what is reported.
func (s *Study) spread(repeat, operator, inter, part float64) {
	gauge := repeat + operator + inter
	s.SDRepeat, s.SDOperator, s.SDInteraction = math.Sqrt(repeat), math.Sqrt(operator), math.Sqrt(inter)
	s.SDPart, s.SDGauge = math.Sqrt(part), math.Sqrt(gauge)
	if gauge+part > 0 {
		s.PercentOfTotal = 100 * math.Sqrt(gauge/(gauge+part))
	}
	if gauge > 0 {
		s.Categories = int(math.Min(1e6, math.Floor(1.41*s.SDPart/s.SDGauge)))
	}
}

// PercentOfTolerance is 100 times six gauge standard deviations over the tolerance.
func (s Study) PercentOfTolerance(lower, upper float64) (float64, error) {
	if err := firstError(checkFinite("lower", lower), checkFinite("upper", upper), checkLimits(lower, upper)); err != nil {
		return 0, err
	}
	return 100 * 6 * s.SDGauge / (upper - lower), nil
}
