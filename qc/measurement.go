package qc

import (
	"time"

	"springline/qc/length"
)

// Entry is how a value reached the bench.
type Entry string

// A value is sent by a gauge or typed by a person.
const (
	Sent  Entry = "sent"
	Typed Entry = "typed"
)

// Measurement is a reading bound to a rib and a characteristic. Seq is its number in the record and
// names it for good.
type Measurement struct {
	Seq   int64
	At    time.Time
	Rib   string
	Char  CharID
	Round int // 1 for the first round of the rib; a re-bend or a fresh start opens the next
	Value length.Length
	Gauge string
	Entry Entry
	Text  string // as typed, or as sent, in the gauge's unit
	Unit  string
	By    string // who measured; empty when not said

	Temp Temperatures  // of bar and tape, where they were read and count for it
	To20 length.Length // what is added to Value for its length at 20 °C

	Voided     bool
	VoidReason string
	Replaced   bool   // a later measurement of the same round was taken in its place
	Again      bool   // taken in the place of an earlier one
	Cause      string // why it counts although it disagrees with its repeats; empty for most
}

// Counts reports whether the measurement still counts: neither voided nor replaced.
func (m Measurement) Counts() bool { return !m.Voided && !m.Replaced }

// Deviation is measured minus target for one characteristic, with the measurements behind it.
type Deviation struct {
	Char     CharID
	Value    length.Length // mean of the readings at 20 °C, half away from zero to a whole nanometre
	Dev      length.Length
	Readings int
	HalfBand length.Length // half the spread of lift-and-relay readings, or the assumed band
	Gauge    string
	To20     length.Length // part of Value: what correcting to 20 °C added, to the mean
	Temp     Temperatures  // behind it
}

// deviation needs at least one measurement of c.
func deviation(c Characteristic, ms []Measurement) Deviation {
	values, to20 := make([]length.Length, len(ms)), make([]length.Length, len(ms))
	for i, m := range ms {
		values[i], to20[i] = m.At20(), m.To20
	}
	v, half := mean(values)
	if len(ms) == 1 {
		half = c.Band
	}
	added, _ := mean(to20)
	return Deviation{Char: c.ID, Value: v, Dev: v - c.Nominal, Readings: len(ms), HalfBand: half, Gauge: ms[len(ms)-1].Gauge,
		To20: added, Temp: temperaturesOf(ms)}
}

// mean returns the mean of values rounded half away from zero and the half-range.
func mean(values []length.Length) (m, half length.Length) {
	lo, hi, sum := values[0], values[0], length.Length(0)
	for _, v := range values {
		sum += v
		lo, hi = min(lo, v), max(hi, v)
	}
	n := length.Length(len(values))
	m = sum / n
	if r := sum % n; 2*r >= n {
		m++
	} else if 2*r <= -n {
		m--
	}
	return m, (hi - lo + 1) / 2
}
