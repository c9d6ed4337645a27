package qc

import (
	"math"

	"springline/qc/length"
	"springline/qc/stats"
)

// DriftFrom is the count of ribs since the last set-up or lot from which anything is said of a drift; control
// limits are provisional until [stats.ProvisionalBelow] (common practice, no source).
const DriftFrom = 8

// The charts behind the sentence, on self-starting scores: a cumulative sum with slack 0.5 and decision 5, a
// moving average with weight 0.2 and width 2.962 (average run lengths near 465 and 500: NIST/SEMATECH e-Handbook
// 6.3.2.3, Lucas and Saccucci 1990). A signal must then be borne out by a step or a line through the whole
// stretch. How often the sentence is wrong is held by TestDriftSentenceIsRarelyWrong.
const (
	driftSlack    = 0.5
	driftDecision = 5
	driftWeight   = 0.2
	driftWidth    = 2.962
	driftStepT    = 3.5
	driftLone     = 3.5 // a score at the cap of [stats.SelfStarting]
	driftMatters  = 0.1 // of the half-width of the tolerance: less is not worth a walk to the jig
)

// DriftKind is what happened to a series.
type DriftKind string

// A series shifted, creeps, or its latest rib stands alone.
const (
	NoDrift   DriftKind = ""
	Shifted   DriftKind = "shift"
	Creeps    DriftKind = "creep"
	LoneValue DriftKind = "lone"
)

// DriftPoint is one rib of a series. Lengths are millimetres, averages and sums are in scores: standard
// deviations from what came before.
type DriftPoint struct {
	Bent
	Dev            length.Length
	MM             float64 // Dev
	Range          float64 // to the rib before within the stretch, mm; 0 for the first
	Score          float64
	Average        float64 // exponentially weighted, of the scores
	SumUp, SumDown float64 // cumulative sums of the scores
}

// Stretch is a run of ribs off one jig set-up and out of one lot: statistics never cross its ends.
type Stretch struct {
	Jig, Lot    string
	Points      []DriftPoint
	Limits      bool // whether there are enough ribs for limits
	Provisional bool // fewer than 20
	Chart       stats.Individuals
	Kind        DriftKind
	Since       int     // index of the first rib of what happened
	By          float64 // how far the series moved, mm: all of the shift, or what has crept so far
	PerRib      float64 // mm, of a creep
	Before      float64 // mean before, mm
	After       float64 // mean since, mm
	Strength    float64 // t of the step or the score of the lone rib: larger is plainer
}

// Drift is one characteristic in bend order.
type Drift struct {
	Char      Characteristic
	Stretches []Stretch
}

// Now is the stretch that is being bent, nil before the first rib.
func (d Drift) Now() *Stretch {
	if len(d.Stretches) == 0 {
		return nil
	}
	return &d.Stretches[len(d.Stretches)-1]
}

// Count is the number of ribs in the series.
func (d Drift) Count() int {
	n := 0
	for _, s := range d.Stretches {
		n += len(s.Points)
	}
	return n
}

// NewDrift works out the series of one characteristic; ribs on which it was not measured are left out. An
// unknown characteristic gives no stretches.
func NewDrift(t Target, bent []Bent, id CharID) Drift {
	at := t.place(id)
	if at < 0 {
		return Drift{}
	}
	d := Drift{Char: t.Round[at]}
	for _, b := range bent {
		f := b.Dev[at]
		if !f.OK {
			continue
		}
		s := d.Now()
		if s == nil || s.Jig != b.Jig || s.Lot != b.Lot {
			d.Stretches = append(d.Stretches, Stretch{Jig: b.Jig, Lot: b.Lot})
			s = d.Now()
		}
		s.Points = append(s.Points, DriftPoint{Bent: b, Dev: f.Dev, MM: f.Dev.MM()})
	}
	for i := range d.Stretches {
		d.Stretches[i].work(at, d.Char.HalfWidth().MM())
	}
	return d
}

// work fills in scores, sums and limits, and what happened. The values are lengths a bench can read, so none
// of the computations can refuse them.
func (s *Stretch) work(at int, halfWidth float64) {
	x, least := s.series(at)
	u, err := stats.SelfStarting(x, least)
	if err != nil {
		return
	}
	sums, err := stats.ChartCUSUM(u, 0, driftSlack, driftDecision)
	if err != nil {
		return
	}
	averages, err := stats.ChartEWMA(u, driftWeight, 0, 1, driftWidth)
	if err != nil {
		return
	}
	for i := range s.Points {
		p := &s.Points[i]
		p.Score, p.Average, p.SumUp, p.SumDown = u[i], averages.Values[i], sums.High[i], sums.Low[i]
		if i > 0 {
			p.Range = math.Abs(x[i] - x[i-1])
		}
	}
	if len(x) < DriftFrom {
		return
	}
	if s.Chart, err = stats.ChartIndividuals(x); err != nil {
		return
	}
	s.Limits, s.Provisional = true, s.Chart.Provisional
	if len(sums.Signals)+len(averages.Signals) > 0 {
		s.explain(x, least)
	}
	if last := len(u) - 1; s.Kind == NoDrift && math.Abs(u[last]) >= driftLone {
		before := x[:last]
		m, _ := stats.Summarise(before)
		s.Kind, s.Since, s.By, s.Before, s.After, s.Strength = LoneValue, last, x[last]-m.Mean, m.Mean, x[last], math.Abs(u[last])
	}
	if math.Abs(s.By) < driftMatters*halfWidth {
		s.Kind, s.By = NoDrift, 0
	}
}

// series are the deviations in mm and the least spread to believe in: what the step of the gauge hides.
func (s *Stretch) series(at int) (x []float64, least float64) {
	x = make([]float64, len(s.Points))
	for i, p := range s.Points {
		x[i] = p.MM
		least = max(least, p.Bent.Dev[at].Step.MM()/math.Sqrt(12))
	}
	return x, least
}

// explain finds what bears a signal out: the step or the line that leaves less, the line with one parameter
// less to its name (Schwarz 1978, Estimating the dimension of a model, Annals of Statistics 6, 461-464).
func (s *Stretch) explain(x []float64, least float64) {
	step, err := stats.BestStep(x, least)
	if err != nil || math.Abs(step.T) < driftStepT || carriedByOne(x[step.After:], step) {
		return
	}
	s.Kind, s.Since, s.By = Shifted, step.After, step.Since-step.Before
	s.Before, s.After, s.Strength = step.Before, step.Since, math.Abs(step.T)
	at := make([]float64, len(x))
	for i := range at {
		at[i] = float64(i)
	}
	line, err := stats.FitLine(at, x)
	if err != nil {
		return
	}
	n := float64(len(x))
	floor := n * least * least // what the gauge hides is left whatever fits
	lineLeft := line.ResidualSD*line.ResidualSD*(n-2) + floor
	if n*math.Log(lineLeft)+2*math.Log(n) < n*math.Log(step.RSS+floor)+3*math.Log(n) {
		s.Kind, s.Since, s.PerRib, s.By = Creeps, 0, line.Slope, line.Slope*(n-1)
		s.Before, s.After = line.Intercept, line.Intercept+s.By
	}
}

// carriedByOne reports whether a step rests on one stray value: of the two values since, one lies with those
// before.
func carriedByOne(since []float64, step stats.Step) bool {
	if len(since) > 2 {
		return false
	}
	for _, v := range since {
		if math.Abs(v-step.Before) < math.Abs(v-step.Since) {
			return true
		}
	}
	return false
}

// WatchedForDrift is where the characteristics that the drift sentence looks at stand in the target's round, -1
// for one that is not there.
func WatchedForDrift(t Target) [2]int {
	var at [2]int
	for i, id := range watched {
		at[i] = t.place(id)
	}
	return at
}
