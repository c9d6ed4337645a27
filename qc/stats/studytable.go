package stats

import "math"

// SourceName is what a line of the analysis of variance stands for.
type SourceName string

// The lines of a gauge study's table.
const (
	SourcePart        SourceName = "part"
	SourceOperator    SourceName = "operator"
	SourceInteraction SourceName = "part x operator"
	SourceRepeat      SourceName = "repeat"
)

// Source is one line of the analysis of variance: sum of squares, degrees of freedom, mean square, and
// its ratio to the mean square that it is tested against with the p-value, NaN where it is not tested.
type Source struct {
	Name SourceName
	SS   float64
	DOF  int
	MS   float64
	F, P float64
}

// Table is the analysis of variance. Parts and operators are tested against the interaction, which is
// tested against the repeats; where it was pooled, its line is gone, its sum of squares and degrees of
// freedom count as repeats, and all are tested against those.
func (s Study) Table() []Source {
	inter, repeat := s.interaction(), Source{Name: SourceRepeat, SS: s.SSRepeat,
		DOF: s.Parts * s.Operators * (s.Repeats - 1), F: math.NaN(), P: math.NaN()}
	if s.Pooled {
		repeat.SS, repeat.DOF = repeat.SS+inter.SS, repeat.DOF+inter.DOF
	}
	repeat.MS = repeat.SS / float64(repeat.DOF)
	base := repeat
	list := []Source{}
	if !s.Pooled {
		inter.test(repeat)
		base = inter
	}
	part := Source{Name: SourcePart, SS: s.SSPart, DOF: s.Parts - 1}
	part.test(base)
	list = append(list, part)
	if s.Operators > 1 {
		operator := Source{Name: SourceOperator, SS: s.SSOperator, DOF: s.Operators - 1}
		operator.test(base)
		list = append(list, operator)
	}
	if !s.Pooled {
		list = append(list, inter)
	}
	return append(list, repeat)
}

func (s Study) interaction() Source {
	return Source{Name: SourceInteraction, SS: s.SSInteraction, DOF: (s.Parts - 1) * (s.Operators - 1)}
}

// test fills in the mean square and holds it against that of another source.
func (l *Source) test(against Source) {
	l.MS, l.F, l.P = l.SS/float64(l.DOF), math.NaN(), math.NaN()
	if against.MS > 0 {
		l.F = l.MS / against.MS
		l.P = fTail(l.F, float64(l.DOF), float64(against.DOF))
	}
}

// GaugeBounds are the bounds on the gauge standard deviation (repeat, operator and interaction together)
// that hold with the confidence, two-sided. The variance is a sum of mean squares with positive weights,
// (MS operator + (p-1) MS interaction + p(r-1) MS repeat)/(p r), for which Graybill and Wang 1980 (J. Am.
// Stat. Assoc. 75, 869-873) give the modified large-sample bounds; the studies of Burdick, Borror and
// Montgomery 2003 (J. Quality Technology 35, 342-354) recommend them. With one operator they are the
// chi-square bounds of the repeatability.
func (s Study) GaugeBounds(confidence float64) (low, high float64, err error) {
	if err := checkFraction("confidence", confidence); err != nil {
		return 0, 0, err
	}
	if s.Operators < 2 {
		return s.RepeatBounds(confidence)
	}
	fp, fr := float64(s.Parts), float64(s.Repeats)
	lines := s.Table()
	operator, repeat := lines[1], lines[len(lines)-1]
	terms := []Source{operator}
	weights := []float64{1 / (fp * fr)}
	if s.Pooled {
		terms, weights = append(terms, repeat), append(weights, (fp*fr-1)/(fp*fr))
	} else {
		terms, weights = append(terms, lines[2], repeat), append(weights, (fp-1)/(fp*fr), (fr-1)/fr)
	}
	tail := (1 - confidence) / 2
	var sum, down, up float64
	for i, l := range terms {
		dof, v := float64(l.DOF), weights[i]*l.MS
		sum += v
		down = math.Hypot(down, (1-dof/chi2Quantile(1-tail, dof))*v) // no square of a square overflows
		up = math.Hypot(up, (dof/chi2Quantile(tail, dof)-1)*v)
	}
	low, high = math.Sqrt(max(0, sum-down)), math.Sqrt(sum+up)
	// A negative variance counts as 0 in the estimate and not in the sum of mean squares.
	return min(low, s.SDGauge), max(high, s.SDGauge), nil
}

// RepeatBounds are the two-sided chi-square bounds on the repeatability standard deviation.
func (s Study) RepeatBounds(confidence float64) (low, high float64, err error) {
	if err := checkFraction("confidence", confidence); err != nil {
		return 0, 0, err
	}
	dof, tail := float64(s.DofRepeat), (1-confidence)/2
	return s.SDRepeat * math.Sqrt(dof/chi2Quantile(1-tail, dof)), s.SDRepeat * math.Sqrt(dof/chi2Quantile(tail, dof)), nil
}

func square(x float64) float64 { return x * x }
