package qc

import (
	"math"

	"springline/qc/stats"
)

// The counts of ribs from which something is shown (common practice, no source), and how sure it is.
const (
	NormalityFrom        = 8
	CapabilityFrom       = 10
	CapabilityConfidence = 0.95
	normalAbove          = 0.05 // p of Anderson-Darling below which a spread is not taken for normal
)

// Capability is how the ribs as they came off the jig fit the tolerance of one characteristic. Lengths are
// millimetres of deviation.
type Capability struct {
	Char      Characteristic
	N         int
	Stretches int // jig set-ups and lots that are mixed in it
	Mean, SD  float64
	Smallest  float64
	Largest   float64

	Gauge      float64 // standard deviation of a deviation from repeating alone, 0 where not known
	GaugeDOF   int
	GaugeFrom  string  // what it was learned from, empty where not known
	RibSD      float64 // what is left for the ribs, 0 where the gauge explains all that was seen
	GaugeIsAll bool
	U          float64 // typical standard uncertainty
	Guard      float64 // what the decision rule takes off each side with it
	Out        int     // deviations outside the limits as measured
	OutLow     float64 // bounds on the fraction outside (Clopper-Pearson), with CapabilityConfidence
	OutHigh    float64
	Normality  *stats.Normality  // from NormalityFrom ribs with a spread
	Index      *stats.Capability // from CapabilityFrom ribs whose spread may be taken for normal
	HoldLow    float64           // limits that hold 95 % of such ribs with 95 % confidence; with Index only
	HoldHigh   float64
	Covered    float64     // fraction between Smallest and Largest with 95 % confidence, whatever the shape
	Risk       *stats.Risk // with Index, where the ribs have a spread of their own
}

// Normal reports whether the spread may be taken for normal: it was tested and nothing spoke against it.
func (c Capability) Normal() bool { return c.Normality != nil && c.Normality.P >= normalAbove }

// NewCapability works on the first rounds of all ribs on which the characteristic was measured. Below
// CapabilityFrom ribs only count, mean and spread are given, below two not even these.
func NewCapability(t Target, bent []Bent, id CharID, how Decision) Capability {
	at := t.place(id)
	if at < 0 {
		return Capability{}
	}
	c := Capability{Char: t.Round[at]}
	var x, us []float64
	var devs []FirstDeviation
	var last Bent
	for _, b := range bent {
		f := b.Dev[at]
		if !f.OK {
			continue
		}
		if c.N == 0 || b.Jig != last.Jig || b.Lot != last.Lot {
			c.Stretches++
		}
		last = b
		c.N++
		x, us, devs = append(x, f.Dev.MM()), append(us, f.U.MM()), append(devs, f)
		if f.Dev < c.Char.Lower || f.Dev > c.Char.Upper {
			c.Out++
		}
	}
	s, err := stats.Summarise(x)
	if err != nil {
		return c
	}
	c.Mean, c.SD = s.Mean, s.SD
	c.Smallest, c.Largest = x[0], x[0]
	for _, v := range x {
		c.Smallest, c.Largest = min(c.Smallest, v), max(c.Largest, v)
	}
	c.separate(devs)
	if c.U, err = stats.Percentile(us, 0.5); err == nil && how.Rule == Proven {
		c.Guard = Factor(how.Confidence, math.Inf(1)) * c.U
	}
	if c.N >= NormalityFrom && c.SD > 0 {
		if n, err := stats.AndersonDarling(x); err == nil {
			c.Normality = &n
		}
	}
	if c.N >= CapabilityFrom {
		c.weigh()
	}
	return c
}

// separate takes the spread of repeating out of the spread seen: sd^2 = rib^2 + gauge^2. What the readings of
// this batch say goes before a gauge study, for it was the same rib on the same bench.
func (c *Capability) separate(devs []FirstDeviation) {
	squares, dof, perReading, studied, studyDOF := 0.0, 0, 0.0, 0.0, math.MaxInt
	for _, f := range devs {
		squares += f.Spread * 1e-12
		dof += f.Readings - 1
		perReading += 1 / float64(f.Readings) / float64(len(devs))
		sd := f.RepeatSD.MM()
		studied += sd * sd / float64(f.Readings) / float64(len(devs))
		studyDOF = min(studyDOF, f.DOF)
	}
	switch {
	case dof >= CapabilityFrom:
		c.Gauge, c.GaugeDOF, c.GaugeFrom = math.Sqrt(squares/float64(dof)*perReading), dof, "the repeated readings of this batch"
	case studied > 0 && studyDOF > 0:
		c.Gauge, c.GaugeDOF, c.GaugeFrom = math.Sqrt(studied), studyDOF, "the gauge study on record"
	default:
		c.RibSD = c.SD
		return
	}
	c.GaugeIsAll = c.Gauge >= c.SD
	c.RibSD, _ = stats.PartSpread(c.SD, c.Gauge)
}

// weigh adds what needs the count.
func (c *Capability) weigh() {
	const sure = CapabilityConfidence
	c.OutLow, c.OutHigh, _ = stats.FractionOut(c.Out, c.N, sure)
	c.Covered, _ = stats.OrderCoverage(c.N, sure)
	if !c.Normal() {
		return
	}
	lower, upper := c.Char.Lower.MM(), c.Char.Upper.MM()
	index, err := stats.ProcessCapability(lower, upper, c.Mean, c.SD, 0, c.N, sure)
	if err != nil {
		return
	}
	_, k, err := stats.ToleranceFactors(c.N, 0.95, sure)
	if err != nil {
		return
	}
	c.Index, c.HoldLow, c.HoldHigh = &index, c.Mean-k*c.SD, c.Mean+k*c.SD
	if c.RibSD > 0 && c.U > 0 {
		if r, err := stats.GlobalRisk(c.Mean, c.RibSD, lower, upper, c.U, c.Guard); err == nil {
			c.Risk = &r
		}
	}
}
