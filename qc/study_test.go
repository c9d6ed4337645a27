package qc

import (
	"math"
	"strings"
	"testing"

	"springline/qc/length"
	"springline/qc/words"
)

// madeStudy is a whole study whose readings deviate by dev(rib, person, round) millimetres from a wanted value of
// 3000 mm with limits of +-5 mm.
func madeStudy(persons, repeats int, dev func(i, j, k int) float64) Study {
	s := Study{StudyPlan: StudyPlan{ID: "study-1", Gauge: "g", Repeats: repeats, Seed: 3,
		Char: Characteristic{ID: Tip, Kind: TipToTip, Face: Centre, Nominal: 3 * length.Metre,
			Lower: -5 * length.Millimetre, Upper: 5 * length.Millimetre, Repeats: 1}}}
	for i := range 10 {
		s.Ribs = append(s.Ribs, string(rune('a'+i)))
	}
	for j := range persons {
		s.Persons = append(s.Persons, string(rune('P'+j)))
	}
	s.Steps = BlindSteps(10, persons, repeats, s.Seed)
	for n, st := range s.Steps {
		v := s.Char.Nominal + length.Length(math.Round(1e6*dev(st.Rib, st.Person, st.Round-1)))
		s.Readings = append(s.Readings, StudyReading{Step: n, Measurement: Measurement{Seq: int64(n + 1), Value: v}})
	}
	return s
}

var studyGauge = Gauge{ID: "g", Name: "long tape", Kind: Tape, Class: "I",
	Resolution: length.Millimetre / 10, Unit: "mm", Measures: []Kind{TipToTip}}

// alternate is +1 and -1 in turn: repeats with a known spread.
func alternate(k int) float64 { return float64(1 - 2*(k%2)) }

// The words follow the share of the tolerance, and the help names the largest part of the spread. By hand:
// repeats +-d have a mean square of 2 d^2, persons and ribs add nothing unless said.
func TestStudyWordsAndHelp(t *testing.T) {
	for name, c := range map[string]struct {
		persons, repeats int
		dev              func(i, j, k int) float64
		word             StudyWord
		share            float64 // per cent, by hand; 0 where not worked out
		help             string
	}{
		// sd 0.1 sqrt 2 pooled with an interaction of 0: 20 of 30 degrees of freedom... SS 20 x 2 x 0.01 = 0.4 on 20+9 = 29,
		// sd 0.11744; 6 sd of 10 mm is 7.05 %.
		"good": {2, 2, func(i, j, k int) float64 { return 0.1*alternate(k) + 0.5*float64(i) }, StudyGood, 7.0465, ""},
		"repeat": {2, 2, func(i, j, k int) float64 { return 0.3*alternate(k) + 0.5*float64(i) },
			StudyUsable, 21.139, "same person reading the same rib differently"},
		"mean of more": {2, 2, func(i, j, k int) float64 { return 0.8 * alternate(k) }, StudyPoor, 56.37, "take the mean of 4 readings"},
		"hopeless":     {2, 2, func(i, j, k int) float64 { return 4 * alternate(k) }, StudyPoor, 281.9, "no mean of ten readings"},
		"persons": {3, 2, func(i, j, k int) float64 { return 0.05*alternate(k) + 0.6*float64(j) + float64(i) },
			StudyPoor, 0, "between the persons"},
		"rib by rib": {2, 2, func(i, j, k int) float64 { return 0.05*alternate(k) + 0.4*alternate(i+j) + float64(i) },
			StudyPoor, 0, "mark the place"},
		"coarse step": {2, 2, func(i, j, k int) float64 { return 0.05*alternate(k) + 0.3*float64(j) }, StudyUsable, 0, ""},
		"one person":  {1, 2, func(i, j, k int) float64 { return 0.1*alternate(k) + float64(i) }, StudyGood, 8.4853, ""}, // sd 0.1 sqrt 2
	} {
		s := madeStudy(c.persons, c.repeats, c.dev)
		r, err := s.Result(studyGauge)
		if err != nil {
			t.Fatal(name, err)
		}
		if r.Word != c.word || !strings.Contains(r.Help, c.help) || (c.word == StudyGood) != (r.Help == "") {
			t.Errorf("%s: %s, %q; share %.4f", name, r.Word, r.Help, r.ShareOfTolerance)
		}
		if c.share > 0 && math.Abs(r.ShareOfTolerance/c.share-1) > 1e-3 {
			t.Errorf("%s: takes %.4f %% of the tolerance, want %.4f", name, r.ShareOfTolerance, c.share)
		}
		if !(r.GaugeLow <= r.SDGauge && r.SDGauge <= r.GaugeHigh) || math.IsInf(r.GaugeHigh, 0) {
			t.Errorf("%s: gauge sd %g in %g to %g", name, r.SDGauge, r.GaugeLow, r.GaugeHigh)
		}
		text := r.Verdict
		for _, l := range r.Lines() {
			text += "\n" + l.Name + ": " + l.Value
		}
		if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") ||
			!strings.HasPrefix(text, "Long tape in these hands") || !strings.Contains(text, "−5 to +5 mm") {
			t.Errorf("%s:\n%s", name, text)
		}
		if (c.persons == 1) != strings.Contains(text, "not known: one person measured") ||
			(c.persons == 2) != strings.Contains(text, "two persons say little") {
			t.Errorf("%s: what is said of the persons:\n%s", name, text)
		}
	}
}

// The finest step that hides the spread is what helps; and a gauge whose readings never differ still prints.
func TestStudyOfAGaugeThatNeverDiffers(t *testing.T) {
	coarse := studyGauge
	coarse.Resolution = length.Millimetre
	r, err := madeStudy(2, 2, func(i, j, k int) float64 { return 0.5 * alternate(k) * alternate(i) }).Result(coarse)
	if err != nil || !strings.Contains(r.Help, "step of 1 mm is as coarse") {
		t.Errorf("%q, %v", r.Help, err)
	}
	r, err = madeStudy(2, 2, func(i, j, k int) float64 { return float64(i) }).Result(studyGauge)
	if err != nil || r.SDGauge != 0 || r.Word != StudyGood {
		t.Fatalf("%+v, %v", r, err)
	}
	for _, l := range r.Lines() {
		if strings.Contains(l.Value, "NaN") {
			t.Errorf("%s: %s", l.Name, l.Value)
		}
	}
	if sd, dof := r.Repeatability(); sd != 0 || dof == 0 {
		t.Errorf("repeatability %v on %d", sd, dof)
	}
}

func TestStudyThatIsNotWholeHasNoResult(t *testing.T) {
	s := madeStudy(2, 2, func(i, j, k int) float64 { return float64(i) })
	s.Readings[5].Voided = true
	if step, missing := s.Next(); !missing || step != s.Readings[5].Step || s.Done() != 39 {
		t.Errorf("next step %d, %v, %d done", step, missing, s.Done())
	}
	if _, err := s.Result(studyGauge); err == nil || !strings.Contains(err.Error(), "39 of 40 readings") {
		t.Errorf("%v", err)
	}
	s.Readings = append(s.Readings, StudyReading{Step: s.Readings[5].Step, Measurement: Measurement{Seq: 99, Value: s.Char.Nominal}})
	if _, err := s.Result(studyGauge); err != nil {
		t.Error(err)
	}
}

// Two significant digits, JCGM 100:2008 7.2.6; never finer than a micrometre.
func TestDigits2(t *testing.T) {
	for mm, want := range map[float64]string{0: "0", 0.23456: "0.23", 0.01999: "0.020", 1.04: "1.0", 12.4: "12",
		123.4: "123", 0.00061: "0.001", 0.096: "0.096", 0.996: "1.0", 9.96: "10", math.Inf(1): "?"} {
		if got := words.Digits2(mm); got != want {
			t.Errorf("%g is printed %q, want %q", mm, got, want)
		}
	}
}
