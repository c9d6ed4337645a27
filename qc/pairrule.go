package qc

import (
	"fmt"
	"strings"

	"springline/qc/length"
)

// PairRule says how two ribs are compared and which pairing is best.
type PairRule struct {
	Metric    string // PairRMS or PairMax
	Objective string // PairSum or PairWorst
	// Weights of tip-to-tip, crown height and every station: whole, not negative, not all zero.
	Tip, Crown, Station int64
	Limit               length.Length // largest mismatch a pair may have; zero sets none
	// OtherLot is how much more alike two ribs of different lots must be than two of one lot to be
	// preferred to them.
	OtherLot length.Length
}

// How ribs are compared, and what is best among the pairings with the most pairs.
const (
	PairRMS   = "rms"            // root mean square of the weighted differences
	PairMax   = "max"            // largest weighted difference
	PairSum   = "sum"            // least sum of mismatches
	PairWorst = "worst_then_sum" // least largest mismatch, then least sum
)

// DefaultPairRule weighs every characteristic alike and sets no limit.
var DefaultPairRule = PairRule{Metric: PairRMS, Objective: PairSum, Tip: 1, Crown: 1, Station: 1}

// Validate refuses a rule that cannot be.
func (r PairRule) Validate() error {
	const most = 1000
	switch {
	case r.Metric != PairRMS && r.Metric != PairMax:
		return fmt.Errorf("pairing rule: the comparison %q is not known; use %s or %s", r.Metric, PairRMS, PairMax)
	case r.Objective != PairSum && r.Objective != PairWorst:
		return fmt.Errorf("pairing rule: what is best, %q, is not known; use %s or %s", r.Objective, PairSum, PairWorst)
	case min(r.Tip, r.Crown, r.Station) < 0 || max(r.Tip, r.Crown, r.Station) > most:
		return fmt.Errorf("pairing rule: weights of %d, %d and %d; give whole numbers from 0 to %d", r.Tip, r.Crown, r.Station, most)
	case r.Tip+r.Crown+r.Station == 0:
		return fmt.Errorf("pairing rule: every weight is zero, so that all ribs would be alike; give at least one")
	case r.Limit < 0 || r.Limit > length.Metre:
		return fmt.Errorf("pairing rule: a mismatch limit of %s mm; give one up to a metre, or none", r.Limit)
	case r.OtherLot < 0 || r.OtherLot > length.Metre:
		return fmt.Errorf("pairing rule: another lot costs %s mm; give up to a metre, or none", r.OtherLot)
	}
	return nil
}

// String is the rule in words.
func (r PairRule) String() string {
	parts := []string{map[string]string{PairRMS: "root mean square of the differences", PairMax: "largest difference"}[r.Metric]}
	if r.Tip != r.Crown || r.Crown != r.Station {
		parts = append(parts, fmt.Sprintf("tip-to-tip, crown and stations weighed %d : %d : %d", r.Tip, r.Crown, r.Station))
	}
	if r.Limit > 0 {
		parts = append(parts, "no pair above "+r.Limit.String()+" mm")
	}
	if r.OtherLot > 0 {
		parts = append(parts, "a pair from one lot may be "+r.OtherLot.String()+" mm worse and is still preferred")
	}
	return strings.Join(append(parts, map[string]string{PairSum: "least sum",
		PairWorst: "least largest mismatch, then least sum"}[r.Objective]), "; ")
}
