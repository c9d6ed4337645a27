package qc

import (
	"fmt"
	"math"

	"springline/qc/length"
	"springline/qc/stats"
	"springline/qc/words"
)

// StudyWord is what a gauge study comes to.
type StudyWord string

// The words, by the share of the tolerance that six gauge standard deviations take (10 % and 30 %: AIAG
// Measurement Systems Analysis, 4th ed., from memory).
const (
	StudyGood   StudyWord = "GOOD"
	StudyUsable StudyWord = "USABLE WITH CARE"
	StudyPoor   StudyWord = "NOT GOOD ENOUGH"
)

// studyConfidence of the two-sided bounds, so that each holds alone with 95 %.
const studyConfidence = 0.90

// StudyResult is the outcome of a whole study; lengths are millimetres.
type StudyResult struct {
	stats.Study
	GaugeLow, GaugeHigh   float64 // bounds on SDGauge, each holding with 95 %
	RepeatLow, RepeatHigh float64
	ShareOfTolerance      float64 // per cent
	Word                  StudyWord
	Verdict               string // one sentence
	Help                  string // what would make it better, one sentence; empty where nothing is needed

	char  Characteristic
	gauge Gauge
}

// Result analyses a whole study against the tolerance of its characteristic. gauge is the one studied.
func (s Study) Result(gauge Gauge) (StudyResult, error) {
	a, err := s.analyse()
	if err != nil {
		return StudyResult{}, err
	}
	r := StudyResult{Study: a, char: s.Char, gauge: gauge}
	if r.GaugeLow, r.GaugeHigh, err = a.GaugeBounds(studyConfidence); err != nil {
		return StudyResult{}, err
	}
	if r.RepeatLow, r.RepeatHigh, err = a.RepeatBounds(studyConfidence); err != nil {
		return StudyResult{}, err
	}
	if r.ShareOfTolerance, err = a.PercentOfTolerance(s.Char.Lower.MM(), s.Char.Upper.MM()); err != nil {
		return StudyResult{}, err
	}
	r.judge()
	return r, nil
}

func (r *StudyResult) judge() {
	name := words.Capital(r.gauge.Name)
	of := fmt.Sprintf("its spread takes %s of the tolerance of %s", words.Share(r.ShareOfTolerance), words.Limits(r.char.Lower, r.char.Upper))
	switch {
	case r.ShareOfTolerance <= 10:
		r.Word, r.Verdict = StudyGood, fmt.Sprintf("%s in these hands is good for %s: %s.", name, r.char.Label(), of)
	case r.ShareOfTolerance <= 30:
		r.Word, r.Verdict = StudyUsable, fmt.Sprintf("%s in these hands can be used with care for %s: %s.", name, r.char.Label(), of)
	default:
		r.Word, r.Verdict = StudyPoor, fmt.Sprintf("%s in these hands is not good enough for %s: %s, "+
			"and more than 30 %% leaves too little for the rib.", name, r.char.Label(), of)
	}
	if r.Word != StudyGood {
		r.Help = r.help()
	}
}

// help names what the largest part of the spread would yield to.
func (r *StudyResult) help() string {
	switch most := max(r.SDRepeat, r.SDOperator, r.SDInteraction); {
	case most == r.SDOperator && r.SDOperator > 0:
		return "Most of it lies between the persons: agree on where and how to read, or let one person measure."
	case most == r.SDInteraction && r.SDInteraction > 0:
		return "The persons differ from rib to rib: mark the place to measure on every rib."
	case r.gauge.Resolution.MM() >= r.SDRepeat:
		return fmt.Sprintf("The gauge's step of %s mm is as coarse as its spread: a finer gauge helps most.", r.gauge.Resolution)
	}
	if n := r.readingsFor(30); r.Word == StudyPoor && n > 0 {
		return fmt.Sprintf("Most of it is the same person reading the same rib differently: "+
			"take the mean of %d readings, or steady the gauge against a stop.", n)
	}
	if r.Word == StudyPoor {
		return "Most of it is the same person reading the same rib differently, and no mean of ten " +
			"readings brings it under: use a finer gauge, or steady it against a stop."
	}
	return "Most of it is the same person reading the same rib differently: steady the gauge against a stop, or take the mean of two readings."
}

// readingsFor is how many readings each mean must have for the share of the tolerance, 0 above ten.
func (r *StudyResult) readingsFor(percent float64) int {
	for n := 2; n <= 10; n++ {
		sd := math.Sqrt(r.SDRepeat*r.SDRepeat/float64(n) + r.SDOperator*r.SDOperator + r.SDInteraction*r.SDInteraction)
		if 600*sd/(r.char.Upper-r.char.Lower).MM() <= percent {
			return n
		}
	}
	return 0
}

// Repeatability is the standard deviation of one reading repeated, rounded up to a whole nanometre, and its
// degrees of freedom: what the gauge's uncertainty budget takes over.
func (r StudyResult) Repeatability() (length.Length, int) {
	return length.Length(math.Ceil(r.SDRepeat * float64(length.Millimetre))), r.DofRepeat
}

// StudyLine is one line of a result: what it is and its value with unit.
type StudyLine struct{ Name, Value string }

// Lines are the result in words and numbers, standard deviations to two digits.
func (r StudyResult) Lines() []StudyLine {
	one := r.Operators == 1
	lines := []StudyLine{{"same person, same rib (repeatability)",
		fmt.Sprintf("sd %s mm on %d degrees of freedom; 95 %% sure at least %s, 95 %% sure at most %s mm",
			words.Digits2(r.SDRepeat), r.DofRepeat, words.Digits2(r.RepeatLow), words.Digits2(r.RepeatHigh))}}
	switch {
	case one:
		lines = append(lines, StudyLine{"between persons (reproducibility)", "not known: one person measured"})
	case r.Pooled:
		lines = append(lines, StudyLine{"between persons (reproducibility)", personsText(r.SDOperator)},
			StudyLine{"persons by rib", pooledText(r.PInteraction)})
	default:
		lines = append(lines, StudyLine{"between persons (reproducibility)", personsText(r.SDOperator)},
			StudyLine{"persons by rib", fmt.Sprintf("sd %s mm (p = %.2f)", words.Digits2(r.SDInteraction), r.PInteraction)})
	}
	lines = append(lines, StudyLine{"gauge in these hands, all together",
		fmt.Sprintf("sd %s mm; 95 %% sure at least %s, 95 %% sure at most %s mm",
			words.Digits2(r.SDGauge), words.Digits2(r.GaugeLow), words.Digits2(r.GaugeHigh))},
		StudyLine{"between the ribs", "sd " + words.Digits2(r.SDPart) + " mm"},
		StudyLine{"share of the tolerance", words.Share(r.ShareOfTolerance) + " of " +
			words.Limits(r.char.Lower, r.char.Upper) + " (six gauge sd)"},
		StudyLine{"share of the spread seen", words.Share(r.PercentOfTotal) + " of the sd of all readings"},
		StudyLine{"classes of rib told apart", r.classes()})
	if r.Operators == 2 {
		lines = append(lines, StudyLine{"note", "two persons say little of how a third would read: the upper bound is wide for that"})
	}
	return lines
}

func personsText(sd float64) string {
	if sd == 0 {
		return "none that shows beside the repeats"
	}
	return "sd " + words.Digits2(sd) + " mm"
}

func pooledText(p float64) string {
	if math.IsNaN(p) {
		return "none seen; counted as repeatability"
	}
	return fmt.Sprintf("none that shows (p = %.2f above %.2f); counted as repeatability", p, stats.PoolAbove)
}

func (r StudyResult) classes() string {
	switch {
	case r.SDGauge == 0:
		return "no spread was seen: the gauge's step hides it"
	case r.Categories < 5:
		return fmt.Sprintf("%d; 5 or more would be needed to sort ribs by this gauge, not to hold them against the tolerance", r.Categories)
	case r.Categories > 20:
		return "more than 20"
	default:
		return fmt.Sprint(r.Categories)
	}
}

// SourceText names a line of the analysis of variance in the words of the bench.
func SourceText(n stats.SourceName) string {
	switch n {
	case stats.SourcePart:
		return "ribs"
	case stats.SourceOperator:
		return "persons"
	case stats.SourceInteraction:
		return "persons by rib"
	}
	return "repeats"
}
