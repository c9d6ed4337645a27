package qc

import "springline/qc/length"

// Bent is a rib as it came off the jig: the deviations of its first round, which say something about the jig,
// whatever was done to the rib afterwards.
type Bent struct {
	ID    string
	Order int    // bend order within the batch, from 1
	Jig   string // set-up it was first wrapped on
	Lot   string
	Dev   []FirstDeviation // in the order of the round
}

// FirstDeviation is one deviation of a first round. OK is false where it was not measured.
type FirstDeviation struct {
	Dev      length.Length
	Step     length.Length // resolution of the gauge
	RepeatSD length.Length // of the gauge, 0 where it was not studied
	DOF      int           // behind RepeatSD
	Readings int
	Spread   float64       // sum of squares of the readings about their mean, nm^2
	U        length.Length // standard uncertainty of the deviation
	OK       bool
}

// FirstRound reads the first round of a rib.
func FirstRound(t Target, r Rib, gauges GaugeOf, how Decision) Bent {
	b := Bent{ID: r.ID, Order: r.Order, Jig: r.FirstJig, Lot: r.Lot, Dev: make([]FirstDeviation, len(t.Round))}
	if b.Jig == "" {
		b.Jig = r.Jig // a rib that says nothing of its first set-up was never wrapped on another
	}
	r.Round = 1
	t = t.ForBar(r.BarLength)
	for i, c := range t.Round {
		ms := r.Counted(c.ID)
		if len(ms) == 0 || len(ms) < c.Repeats {
			continue
		}
		d := deviation(c, ms)
		f := FirstDeviation{Dev: d.Dev, Readings: len(ms), OK: true}
		for _, m := range ms {
			x := float64(m.At20() - d.Value)
			f.Spread += x * x
		}
		if g, ok := gauges(d.Gauge); ok {
			f.Step, f.RepeatSD, f.DOF, f.U = g.Resolution, g.RepeatSD, g.RepeatDOF, JudgeOne(c, d, g, how).U
		}
		b.Dev[i] = f
	}
	return b
}

// Bent are the first rounds of the batch in bend order.
func (b Batch) Bent() []Bent {
	list := make([]Bent, len(b.Ribs))
	for i, r := range b.Ribs {
		list[i] = FirstRound(b.Target, r, b.Gauge, b.Decision)
	}
	return list
}

// place is the index of c in the round, -1 when it is not there.
func (t Target) place(c CharID) int {
	for i := range t.Round {
		if t.Round[i].ID == c {
			return i
		}
	}
	return -1
}
