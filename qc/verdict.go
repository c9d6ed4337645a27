package qc

import (
	"springline/qc/length"
	"springline/qc/words"
)

// Word is the verdict on a rib in one word.
type Word string

// The verdicts. Open is not a verdict: something of the round is still to be measured.
const (
	Open      Word = "OPEN"
	Pass      Word = "PASS"
	ReBend    Word = "RE-BEND"
	ReMeasure Word = "RE-MEASURE"
	Reject    Word = "REJECT"
)

// Words lists the verdicts in the order of the report: what needs a hand first.
func Words() []Word { return []Word{Reject, ReBend, ReMeasure, Open, Pass} }

// Direction is which way a rib that is out has to be bent.
type Direction string

// A rib is closed (tips together) or opened (tips apart); reshape when the tips fit and the curve does
// not.
const (
	NoDirection Direction = ""
	Close       Direction = "close"
	OpenUp      Direction = "open"
	Reshape     Direction = "reshape"
)

// Judgement is one characteristic against its limits.
type Judgement struct {
	Char       Characteristic
	Dev        Deviation
	Budget     Budget
	U          length.Length // standard uncertainty, rounded up
	Guard      length.Length // what the rule takes off each side; zero for the plain rule
	Lane       Lane
	Conformity float64 // probability that the true value is within the limits
	Measured   bool
	Skipped    bool
}

// Verdict is the judgement on a rib in its present round. It covers the characteristics listed, under
// the rule and confidence stated.
type Verdict struct {
	Word       Word
	Why        words.Finding
	Direction  Direction
	Worst      CharID // the characteristic that decides, the least sure one for a pass
	Rule       Rule
	Confidence float64
	Round      int
	Chars      []Judgement // in the order of the round
}

// Of returns the judgement on characteristic c.
func (v Verdict) Of(c CharID) (Judgement, bool) {
	for _, j := range v.Chars {
		if j.Char.ID == c {
			return j, true
		}
	}
	return Judgement{}, false
}
