package qc

import (
	"fmt"
	"strconv"

	"springline/qc/length"
)

// CharID names a characteristic within a target: "tip", "crown", "A1".."An", "B1".."Bn", "leg-a",
// "leg-b", "twist" or "diameter".
type CharID string

// The characteristics that every arch rib can have; stations are named by their side and number.
const (
	Tip      CharID = "tip"
	Crown    CharID = "crown"
	LegA     CharID = "leg-a"
	LegB     CharID = "leg-b"
	Twist    CharID = "twist"
	Diameter CharID = "diameter"
)

// stationID names station i (1 at the leg, rising to the crown) on side 'A' or 'B'.
func stationID(side byte, i int) CharID { return CharID(string(side) + strconv.Itoa(i)) }

// Kind is what sort of thing a characteristic measures.
type Kind string

// The kinds. A station offset is measured from the target curve, so its nominal value is zero.
const (
	TipToTip      Kind = "tip-to-tip"
	CrownHeight   Kind = "crown height"
	StationOffset Kind = "station offset"
	LegLength     Kind = "leg length"
	TwistRock     Kind = "twist"
	BarDiameter   Kind = "bar diameter"
)

// Bendable reports whether a rib that is out in this kind can be brought in by bending.
func (k Kind) Bendable() bool { return k != LegLength && k != BarDiameter }

// Signed reports whether a value below zero has a meaning for this kind.
func (k Kind) Signed() bool { return k == StationOffset || k == TwistRock }

// Face is the side of the bar that a length was taken to.
type Face string

// A face is named with every tip-to-tip and crown height: on a 12 mm bar the wrong face is 12 mm.
const (
	Centre  Face = "centre"
	Inside  Face = "inside"
	Outside Face = "outside"
)

// Characteristic is one thing measured on a rib, with its limits.
type Characteristic struct {
	ID      CharID
	Kind    Kind
	Face    Face
	Nominal length.Length // the wanted value on that face
	Lower   length.Length // least deviation allowed, inclusive
	Upper   length.Length // largest deviation allowed, inclusive
	Repeats int           // readings that make one measurement; 2 or more means lift and relay between
	Band    length.Length // friction half-band assumed where only one reading is taken
}

// Label is the characteristic in the words of the bench.
func (c Characteristic) Label() string {
	switch c.Kind {
	case StationOffset:
		return "station " + string(c.ID)
	case LegLength:
		if c.ID == LegA {
			return "leg A"
		}
		return "leg B"
	default:
		return string(c.Kind)
	}
}

// HalfWidth is half of the tolerance zone.
func (c Characteristic) HalfWidth() length.Length { return (c.Upper - c.Lower) / 2 }

func (c Characteristic) validate() error {
	if c.ID == "" {
		return &TargetError{Field: "characteristic", Reason: "has no name"}
	}
	field := string(c.ID)
	if c.Lower > c.Upper || c.Upper == c.Lower {
		return &TargetError{Field: field, Reason: fmt.Sprintf(
			"the tolerance of %s runs from %s to %s mm, which leaves nothing to accept; give a lower limit below the upper one",
			c.Label(), c.Lower, c.Upper)}
	}
	if c.Lower > 0 || c.Upper < 0 {
		return &TargetError{Field: field, Reason: fmt.Sprintf(
			"the limits %s to %s mm of %s leave the target value itself out; limits are deviations from the target",
			c.Lower, c.Upper, c.Label())}
	}
	if c.Repeats < 1 || c.Repeats > 10 {
		return &TargetError{Field: field, Reason: fmt.Sprintf("%d readings of %s asked for; take 1 to 10", c.Repeats, c.Label())}
	}
	if c.Band < 0 {
		return &TargetError{Field: field, Reason: "the friction half-band is negative"}
	}
	if !c.Kind.Signed() && c.Nominal <= 0 {
		return &TargetError{Field: field, Reason: fmt.Sprintf("the wanted %s is %s mm; it must be above zero", c.Label(), c.Nominal)}
	}
	return nil
}

// TargetError says which part of a target cannot be, and why.
type TargetError struct {
	Field  string
	Reason string
}

func (e *TargetError) Error() string { return "target: " + e.Field + ": " + e.Reason }
