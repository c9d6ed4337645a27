package qc

import (
	"fmt"
	"time"

	"springline/qc/length"
	"springline/qc/words"
)

// GaugeKind is what stands behind a reading.
type GaugeKind string

// The kinds of gauge.
const (
	Caliper   GaugeKind = "caliper"
	Tape      GaugeKind = "tape"
	SteelRule GaugeKind = "steel rule"
)

// TapeClass is an accuracy class of Directive 2014/32/EU, Annex X (MI-008): I, II or III.
type TapeClass string

// Known reports whether the class is I, II or III.
func (c TapeClass) Known() bool {
	_, ok := tapeLimits[c]
	return ok
}

// Gauge is a measuring instrument of the bench, however its readings arrive.
type Gauge struct {
	ID         string
	Name       string
	Kind       GaugeKind
	Class      TapeClass     // tapes only
	EndFace    bool          // tapes only: lengths start at the hook or end face
	Limit      length.Length // largest permissible error of a gauge that is not a classed tape
	Resolution length.Length // smallest step read
	Unit       string        // the unit it sends or is read in
	Measures   []Kind        // what it is bound to
	Checked    time.Time     // last check or calibration; zero when never
	Due        time.Time     // when the next is due; zero when not set
	CheckNote  string        // of the check as it was stated with the gauge
	LastCheck  words.Finding // of the last check on record, none where that stated is later
	Failed     bool          // the last check found it outside its allowed error
	Retired    string        // why it is out of use; empty while in use

	// RepeatSD is the standard deviation of one reading repeated by one person on one rib, as a gauge
	// study on record found it; RepeatDOF the degrees of freedom behind it. Both zero: not studied.
	RepeatSD  length.Length
	RepeatDOF int
}

// CalibrationState is the state of a gauge's check at a given time.
type CalibrationState = words.CheckState

// A gauge is in date, due, unchecked, found wrong, or no longer used.
const (
	CheckInDate CalibrationState = "in-date"
	CheckDue    CalibrationState = "due"
	CheckNever  CalibrationState = "never"
	CheckFailed CalibrationState = "failed"
	OutOfUse    CalibrationState = "out-of-use"
)

// Note says how the last check came out.
func (g Gauge) Note() string {
	if g.LastCheck != nil {
		return words.English.Say(g.LastCheck)
	}
	return g.CheckNote
}

// Calibration gives the state of the gauge's check at time t.
func (g Gauge) Calibration(t time.Time) CalibrationState {
	switch {
	case g.Retired != "":
		return OutOfUse
	case g.Checked.IsZero():
		return CheckNever
	case g.Failed:
		return CheckFailed
	case !g.Due.IsZero() && t.After(g.Due):
		return CheckDue
	default:
		return CheckInDate
	}
}

// Covers reports whether the gauge is bound to characteristics of kind k.
func (g Gauge) Covers(k Kind) bool {
	for _, m := range g.Measures {
		if m == k {
			return true
		}
	}
	return false
}

// PermissibleError is the largest error the gauge may have at a length: a + b L (+ c from the end
// face) for a classed tape, with L in metres rounded up to a whole metre (Directive 2014/32/EU, Annex
// X, MI-008, chapter I), else the gauge's own limit.
func (g Gauge) PermissibleError(at length.Length) length.Length {
	abc, ok := tapeLimits[g.Class]
	if g.Kind != Tape || !ok {
		return g.Limit
	}
	metres := (magnitude(at) + length.Metre - 1) / length.Metre
	e := abc[0] + metres*abc[1]
	if g.EndFace {
		e += abc[2]
	}
	return e
}

// magnitude is for lengths within the 100 m that a bench reads, where dropping a sign cannot overflow.
func magnitude(l length.Length) length.Length { return max(l, -l) }

// tapeLimits holds a, b per metre and c of MI-008 chapter I, table 1 and the end-face addition.
var tapeLimits = map[TapeClass][3]length.Length{
	"I":   {100 * length.Micrometre, 100 * length.Micrometre, 100 * length.Micrometre},
	"II":  {300 * length.Micrometre, 200 * length.Micrometre, 200 * length.Micrometre},
	"III": {600 * length.Micrometre, 400 * length.Micrometre, 300 * length.Micrometre},
}

// Validate refuses a gauge whose word could not be weighed.
func (g Gauge) Validate() error {
	switch {
	case g.ID == "":
		return fmt.Errorf("gauge: has no id")
	case g.Resolution <= 0:
		return fmt.Errorf("gauge %q: the resolution must be above zero", g.ID)
	case g.Kind == Tape && !g.Class.Known():
		return fmt.Errorf("gauge %q: tape class %q is not I, II or III; it is printed near the start of the tape", g.ID, g.Class)
	case g.Kind != Tape && g.Limit <= 0:
		return fmt.Errorf("gauge %q: the largest permissible error must be given and above zero", g.ID)
	case len(g.Measures) == 0:
		return fmt.Errorf("gauge %q: is bound to no characteristic", g.ID)
	case g.RepeatSD < 0 || g.RepeatDOF < 0 || g.RepeatSD > 0 && g.RepeatDOF == 0:
		return fmt.Errorf("gauge %q: a repeatability of %s mm on %d degrees of freedom cannot be", g.ID, g.RepeatSD, g.RepeatDOF)
	}
	return nil
}
