package qc

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"time"

	"springline/qc/length"
	"springline/qc/stats"
)

// StudyPlan is a crossed gauge study: every person measures one characteristic of every rib with one
// gauge, Repeats times over, in the order of Steps.
type StudyPlan struct {
	ID      string
	Char    Characteristic
	Gauge   string
	Ribs    []string
	Persons []string
	Repeats int
	Seed    uint64 // that the order was drawn with
	Steps   []StudyStep
}

// StudyStep is one reading to be taken. Rib and Person count from 0 within the plan, Round from 1.
type StudyStep struct {
	Rib, Person, Round int
}

// The counts that support a result. Five to ten ribs, two or three persons and two or three repeats are
// common practice, no source; with the least of them ten degrees of freedom stand behind the repeatability,
// which bound it to about -30 % and +60 % (90 %, chi-square).
const (
	MinStudyRibs, MaxStudyRibs       = 5, 20
	MinStudyPersons, MaxStudyPersons = 1, 5
	MinStudyRepeats, MaxStudyRepeats = 2, 5
	MinStudyDOF                      = 10
)

// StudyShapeError says that a study would be too small, or too long, to give a result.
type StudyShapeError struct {
	Field   string // ribs, persons or repeats
	Message string
	Do      string
}

func (e *StudyShapeError) Error() string { return e.Message + "; " + e.Do }

// CheckStudyShape refuses numbers of ribs, persons and repeats that support no result.
func CheckStudyShape(ribs, persons []string, repeats int) error {
	for _, f := range []struct {
		field, what   string
		n, least, top int
	}{
		{"ribs", "ribs", len(ribs), MinStudyRibs, MaxStudyRibs},
		{"persons", "persons", len(persons), MinStudyPersons, MaxStudyPersons},
		{"repeats", "readings of each rib by each person", repeats, MinStudyRepeats, MaxStudyRepeats},
	} {
		if f.n < f.least || f.n > f.top {
			return &StudyShapeError{f.field, fmt.Sprintf("a gauge study with %d %s gives no result that could be defended", f.n, f.what),
				fmt.Sprintf("give %d to %d", f.least, f.top)}
		}
	}
	for field, list := range map[string][]string{"ribs": ribs, "persons": persons} {
		for i, x := range list {
			if x == "" || slices.Contains(list[:i], x) {
				return &StudyShapeError{field, fmt.Sprintf("%s names %q twice, or nothing", field, x), "name each once"}
			}
		}
	}
	if dof := len(ribs) * len(persons) * (repeats - 1); dof < MinStudyDOF {
		return &StudyShapeError{"repeats", fmt.Sprintf("%d ribs, %d persons and %d readings each leave %d "+
			"degrees of freedom for the repeatability", len(ribs), len(persons), repeats, dof),
			fmt.Sprintf("take more of any until there are %d", MinStudyDOF)}
	}
	return nil
}

// BlindSteps draws the order of a study: each repeat round takes every rib by every person once, shuffled,
// so that nobody can follow a rib from reading to reading, and no rib comes to the same person twice
// running. The same seed gives the same order.
func BlindSteps(ribs, persons, repeats int, seed uint64) []StudyStep {
	rng := rand.New(rand.NewPCG(seed, 0x5ee0))
	var steps []StudyStep
	for round := 1; round <= repeats; round++ {
		var one []StudyStep
		for r := range ribs {
			for p := range persons {
				one = append(one, StudyStep{Rib: r, Person: p, Round: round})
			}
		}
		rng.Shuffle(len(one), func(i, j int) { one[i], one[j] = one[j], one[i] })
		if n := len(steps); n > 0 && len(one) > 1 && one[0].Rib == steps[n-1].Rib && one[0].Person == steps[n-1].Person {
			k := 1 + rng.IntN(len(one)-1)
			one[0], one[k] = one[k], one[0]
		}
		steps = append(steps, one...)
	}
	return steps
}

// StudyReading is a reading taken for step Step (from 0) of a study.
type StudyReading struct {
	Step int
	Measurement
}

// Study is a gauge study as recorded so far.
type Study struct {
	StudyPlan
	Readings []StudyReading // by Seq, withdrawn ones too
	Started  time.Time
	Ended    time.Time // finished or cancelled; zero while open
	Finished bool
	Paused   bool
	Cancel   string // why it was cancelled
	By       string // who ended it

	RepeatSD  length.Length // as taken over into the gauge's budget, once finished
	RepeatDOF int
}

// Open reports whether the study is neither finished nor cancelled.
func (s Study) Open() bool { return s.Ended.IsZero() }

// Counted is the reading that counts for a step.
func (s Study) Counted(step int) (StudyReading, bool) {
	for _, r := range s.Readings {
		if r.Step == step && r.Counts() {
			return r, true
		}
	}
	return StudyReading{}, false
}

// Next is the step to be measured now: the first without a reading that counts. A withdrawn reading is
// taken again before the study goes on.
func (s Study) Next() (step int, ok bool) {
	has := make([]bool, len(s.Steps))
	for _, r := range s.Readings {
		if r.Counts() {
			has[r.Step] = true
		}
	}
	step = slices.Index(has, false)
	return step, step >= 0
}

// Done counts the steps that have a reading.
func (s Study) Done() int {
	n := 0
	for _, r := range s.Readings {
		if r.Counts() {
			n++
		}
	}
	return n
}

// Deviations are the readings less the wanted value, in millimetres, [rib][person][repeat]; false while a
// step lacks one.
func (s Study) Deviations() ([][][]float64, bool) {
	if _, missing := s.Next(); missing {
		return nil, false
	}
	all := make([][][]float64, len(s.Ribs))
	for i := range all {
		all[i] = make([][]float64, len(s.Persons))
		for j := range all[i] {
			all[i][j] = make([]float64, s.Repeats)
		}
	}
	for _, r := range s.Readings {
		if r.Counts() {
			st := s.Steps[r.Step]
			all[st.Rib][st.Person][st.Round-1] = (r.Value - s.Char.Nominal).MM()
		}
	}
	return all, true
}

// analyse is the analysis of variance of a whole study.
func (s Study) analyse() (stats.Study, error) {
	all, whole := s.Deviations()
	if !whole {
		return stats.Study{}, fmt.Errorf("study %q: %d of %d readings are taken; the others come first", s.ID, s.Done(), len(s.Steps))
	}
	if err := CheckStudyShape(s.Ribs, s.Persons, s.Repeats); err != nil {
		return stats.Study{}, fmt.Errorf("study %q: %w", s.ID, err)
	}
	if len(s.Persons) == 1 {
		one := make([][]float64, len(all))
		for i := range all {
			one[i] = all[i][0]
		}
		return stats.OnePersonStudy(one)
	}
	return stats.CrossedStudy(all)
}
