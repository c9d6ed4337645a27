package qc

import (
	"time"

	"springline/qc/length"
)

// Record is the stretch of the bench's record that a batch was read from.
type Record struct {
	Bench string
	Epoch int64
	First int64  // first record of the batch
	Last  int64  // last record read
	Head  string // hex SHA-256 chain value at Last
}

// Counts are how the values of a batch came about, for the foot of the report.
type Counts struct {
	Measured  int // values that count
	Again     int // taken in the place of an earlier one
	Voided    int
	Typed     int // of the values that count
	Held      int // waited for a person
	Refused   int // frames that gave no value
	Skipped   int
	Discarded int // held values that a person threw out
}

// PairOf is a confirmed pair: rib B stands flipped or not against rib A.
type PairOf struct {
	A, B        string
	Flip        bool
	MismatchNM  int64
	Locked      bool // was set aside as good enough before the others were chosen
	ConfirmedBy string
	At          time.Time
}

// Stand is one confirmed pair in the order in which the pairs stand along the structure; a turned one
// stands turned end for end as a whole.
type Stand struct {
	A, B   string
	Turned bool
}

// RunOrder is the confirmed order of the pairs: Length is the sum of the mismatches of neighbours,
// Bound what no order can be below.
type RunOrder struct {
	Stands        []Stand
	Length, Bound length.Length
	By            string
	At            time.Time
}

// Pull is one correction of a rib by its tips: spacing before, under load, and after release.
type Pull struct {
	Seq    int64
	At     time.Time
	Rib    string
	Before Measurement
	Loaded Measurement
}

// Note is a remark for the report, on the batch or on one of its ribs.
type Note struct {
	At   time.Time
	Rib  string // empty for the batch
	Text string
	By   string
}

// Batch is everything on record of one batch, by value: what reports, pairing and learning read.
type Batch struct {
	ID       string
	Title    string
	Place    string
	Maker    string
	Planned  int
	Target   Target
	Decision Decision
	Opened   time.Time
	Closed   time.Time // zero while open
	Lots     []Lot
	Jigs     []Jig // in the order set
	Gauges   []Gauge
	Ribs     []Rib // in bend order
	Pairs    []PairOf
	PairRule PairRule
	PairsSum length.Length // of the confirmed pairs, what different lots add included
	PairsMin length.Length // proven: no pairing is below it
	Spares   []string
	SpareWhy []string          // of each spare, in that order; empty where it was not recorded
	Order    *RunOrder         // nil while none is confirmed
	Pulls    []Pull            // in order
	Notes    []Note            // in order
	Temps    []TemperatureRead // in order
	Studies  []Study           // gauge studies, in order
	Counts   Counts
	Record   Record
	AsOf     time.Time // time of the last record read: the only "now" a report knows
}

// Gauge finds a gauge of the batch.
func (b Batch) Gauge(id string) (Gauge, bool) {
	for _, g := range b.Gauges {
		if g.ID == id {
			return g, true
		}
	}
	return Gauge{}, false
}

// Rib finds a rib of the batch.
func (b Batch) Rib(id string) (Rib, bool) {
	for _, r := range b.Ribs {
		if r.ID == id {
			return r, true
		}
	}
	return Rib{}, false
}

// Judge gives the verdict on one of the batch's ribs.
func (b Batch) Judge(r Rib) (Verdict, error) { return Judge(b.Target, r, b.Gauge, b.Decision) }
