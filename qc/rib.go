package qc

import (
	"time"

	"springline/qc/length"
)

// Skip records that a characteristic was left out of a round on purpose. A skipped characteristic is
// still open: the rib cannot pass without it.
type Skip struct {
	Seq    int64
	Char   CharID
	Round  int
	Reason string
}

// Rib is one bent bar with everything ever recorded of it.
type Rib struct {
	ID           string
	Lot          string
	Jig          string        // that it was last wrapped on
	FirstJig     string        // that it was first wrapped on: what its first round says something about
	BarLength    length.Length // as measured before it was bent; zero: as the target's
	Order        int           // bend order within the batch, from 1
	Round        int           // the round in progress, from 1
	Started      time.Time
	Measurements []Measurement // by Seq, voided and replaced ones too
	Skips        []Skip
}

// Counted returns the measurements of characteristic c that count in the present round, oldest first.
func (r Rib) Counted(c CharID) []Measurement {
	var ms []Measurement
	for _, m := range r.Measurements {
		if m.Char == c && m.Round == r.Round && m.Counts() {
			ms = append(ms, m)
		}
	}
	return ms
}

// SkippedNow reports whether c is skipped in the present round and nothing was measured since.
func (r Rib) SkippedNow(c CharID) bool {
	var at int64
	for _, s := range r.Skips {
		if s.Char == c && s.Round == r.Round {
			at = s.Seq
		}
	}
	if at == 0 {
		return false
	}
	for _, m := range r.Counted(c) {
		if m.Seq > at {
			return false
		}
	}
	return true
}

// Next returns the characteristic of the round to be measured next: the first that lacks readings and
// is not skipped, else false.
func (r Rib) Next(t Target) (Characteristic, bool) {
	for _, c := range t.Round {
		if len(r.Counted(c.ID)) < c.Repeats && !r.SkippedNow(c.ID) {
			return c, true
		}
	}
	return Characteristic{}, false
}

// Deviation returns the deviation of characteristic c in the present round; false while readings lack.
func (r Rib) Deviation(c Characteristic) (Deviation, bool) {
	ms := r.Counted(c.ID)
	if len(ms) < c.Repeats || len(ms) == 0 {
		return Deviation{}, false
	}
	return deviation(c, ms), true
}
