package qc

import (
	"fmt"
	"math"
	"time"

	"springline/qc/length"
	"springline/qc/stats"
)

// Temperatures are those of bar and tape as read at the bench, in degrees C. The zero value: not read.
type Temperatures struct {
	Seq       int64 // record that they were read in, 0 when not read
	Bar, Tape float64
	Doubt     float64 // either may be so many kelvin off, above zero
}

// TemperatureRead is one reading of the temperatures, for the report.
type TemperatureRead struct {
	Temperatures
	At       time.Time
	By       string
	Replaced int64 // record that stands in its place, 0 while it counts
}

// TemperatureHolds is how long temperatures count for what is measured after them; outdoors a bar in the sun
// is another one later. Common practice, no source.
const TemperatureHolds = 2 * time.Hour

// alphaDoubt is how far the expansion of a bar or a tape of steel may be from alphaSteel, per kelvin: EN 1992
// counts with 10e-6 and EN 1993 with 12e-6 for steel (from memory).
const alphaDoubt = 1.0e-6

// Read reports whether they were read.
func (t Temperatures) Read() bool { return t.Seq != 0 }

// Validate refuses what no bench outdoors has.
func (t Temperatures) Validate() error {
	for _, x := range []struct {
		name string
		c    float64
	}{{"bar", t.Bar}, {"tape", t.Tape}} {
		if !(x.c >= -40 && x.c <= 80) {
			return fmt.Errorf("the %s at %g °C: give -40 to 80", x.name, x.c)
		}
	}
	if !(t.Doubt >= 0.1 && t.Doubt <= 20) {
		return fmt.Errorf("a doubt of %g K about them: give 0.1 to 20", t.Doubt)
	}
	return nil
}

// CorrectedTo20 reports whether a kind measured with the gauge is corrected: lengths laid along a scale of
// steel, which lies beside the bar and whose temperature is the tape's. A caliper's is its own.
func CorrectedTo20(g Gauge, k Kind) bool {
	return (g.Kind == Tape || g.Kind == SteelRule) && (k == TipToTip || k == CrownHeight || k == LegLength)
}

// To20 is what is added to a reading for the bar's length at 20 °C (ISO 1), with a bar and a tape of steel:
// the tape has grown and reads short, the bar has grown and reads long, so of equal temperatures nothing
// is left. Zero where they were not read or the kind is not corrected.
func (t Temperatures) To20(g Gauge, k Kind, reading length.Length) length.Length {
	if !t.Read() || !CorrectedTo20(g, k) || reading <= 0 {
		return 0
	}
	mm, err := stats.At20C(reading.MM(), t.Bar, t.Tape, alphaSteel, alphaSteel)
	if err != nil {
		return 0 // beyond what any tape reads: such a value is not plausible and waits for a person
	}
	return length.Length(math.Round((mm - reading.MM()) * float64(length.Millimetre)))
}

// At20 is the value at 20 °C: as read where no temperatures were.
func (m Measurement) At20() length.Length { return m.Value + m.To20 }

// temperaturesOf are those behind the readings of one measurement: the widest doubt and the furthest from
// 20 °C; not read unless they were for every reading.
func temperaturesOf(ms []Measurement) Temperatures {
	t := ms[0].Temp
	for _, m := range ms {
		x := m.Temp
		if !x.Read() {
			return Temperatures{}
		}
		t.Doubt = max(t.Doubt, x.Doubt)
		if math.Hypot(x.Bar-20, x.Tape-20) > math.Hypot(t.Bar-20, t.Tape-20) {
			t.Bar, t.Tape = x.Bar, x.Tape
		}
	}
	return t
}

// budget weighs a deviation.
func (d Deviation) budget(g Gauge, c Conditions) Budget {
	return NewBudget(g, c.use(d.Value, d.HalfBand, d.Readings, d.Temp))
}
