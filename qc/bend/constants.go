package bend

import "math"

// Constant is the spring constant fy/(E d) that one bar showed, beside that of its run: the bars of one
// lot bent on one jig set-up, one after the other.
type Constant struct {
	Value, U float64 // 1/mm, U from the readings alone; zero where the bar says nothing
	Known    bool    // the bar neither sprang straight nor inwards
	Run      int     // number of its run, from 0
	Mean     float64 // of the known bars of the run, 1/mm
	Scatter  float64 // from bar to bar as learned from all bars, as a share of the constant
}

// Shift is a run whose spring constant has moved: from its bar From on (counted over all tests) it is By
// times that of the bars before, By-1 being Score standard deviations.
type Shift struct {
	Run, From int
	By, Score float64
}

// Constants gives the constant of every bar, in bend order.
func (o Order) Constants(tests []Test) ([]Constant, error) {
	if err := o.Check(); err != nil {
		return nil, err
	}
	if err := o.checkTests(tests, nil); err != nil {
		return nil, err
	}
	return o.learn(tests).constants(tests), nil
}

// AdviseAndConstants is Advise with the constants that it rests on, learned once for both.
func (o Order) AdviseAndConstants(lot string, tests []Test) (Advice, []Constant, error) {
	if err := o.Check(); err != nil {
		return Advice{}, nil, err
	}
	if err := o.checkTests(tests, nil); err != nil {
		return Advice{}, nil, err
	}
	l := o.learn(tests)
	a, err := l.advise(lot)
	if err != nil {
		return Advice{}, nil, err
	}
	return a, l.constants(tests), nil
}

func (l learned) constants(tests []Test) []Constant {
	o := l.Order
	e := l.main().e
	grade := 1 / (2 * o.yieldRadius())
	out := make([]Constant, len(tests))
	sums, counts := map[int]float64{}, map[int]float64{}
	for i, t := range tests {
		c := &out[i]
		c.Scatter = l.bar
		if i > 0 {
			c.Run = out[i-1].Run
			if t.Lot != tests[i-1].Lot || math.Abs(t.Face-tests[i-1].Face) > 1e-6*t.Face {
				c.Run++
			}
		}
		kf, err := o.curvature(t.Tip)
		kf1, err1 := o.curvature(t.Tip - 1)
		if err != nil || err1 != nil {
			continue
		}
		kj := 1 / (t.Face + o.Diameter/2)
		z, ok := o.constant(kj, kf, e)
		z1, ok1 := o.constant(kj, kf1, e)
		if !ok || !ok1 {
			continue
		}
		c.Value, c.Known = math.Exp(z)*grade, true
		c.U = c.Value * math.Abs(z-z1) * math.Max(t.UTip, 0.3)
		sums[c.Run] += c.Value
		counts[c.Run]++
	}
	for i := range out {
		if n := counts[out[i].Run]; n > 0 {
			out[i].Mean = sums[out[i].Run] / n
		}
	}
	return out
}

// A shift counts from shiftScore standard deviations on, the best of all splits of a run, with shiftBefore
// bars before it and shiftAfter since: fewer say nothing against the scatter from bar to bar.
const (
	shiftScore  = 4.0
	shiftBefore = 4
	shiftAfter  = 2
)

// LastShift looks for a move of the spring constant within the last run: ok is false where there is none.
func LastShift(cs []Constant) (s Shift, ok bool) {
	if len(cs) == 0 {
		return Shift{}, false
	}
	var at []int
	last := cs[len(cs)-1].Run
	for i, c := range cs {
		if c.Run == last && c.Known {
			at = append(at, i)
		}
	}
	for n := shiftBefore; n <= len(at)-shiftAfter; n++ {
		before, u1 := meanOf(cs, at[:n])
		after, u2 := meanOf(cs, at[n:])
		if score := math.Abs(after-before) / math.Hypot(u1, u2); score > s.Score {
			s = Shift{Run: last, From: at[n], By: after / before, Score: score}
		}
	}
	return s, s.Score >= shiftScore
}

// meanOf is the mean of some bars and its standard deviation. Their scatter is taken about their own mean,
// leaning on what all bars scatter by, so that a move does not hide in the scatter that it makes.
func meanOf(cs []Constant, at []int) (mean, u float64) {
	n := float64(len(at))
	for _, i := range at {
		mean += cs[i].Value / n
	}
	v, believed := 0.0, 0.0
	for _, i := range at {
		v += sq(cs[i].Value - mean)
		believed += (sq(priorScatter*mean) + sq(cs[i].U)) / n
	}
	v = (v + barWeight*believed) / (n - 1 + barWeight)
	return mean, math.Sqrt(v / n)
}

// priorScatter is what bars of one lot are expected to scatter by, as a share of the constant (common
// practice, no source; as the start of learning).
const priorScatter = barSD
