package qc

import (
	"springline/qc/length"
)

// Station is a marked place on the arc where the offset from the target curve is measured.
type Station struct {
	ID        CharID
	FromCrown length.Length // along the centreline from the crown, on side A or B
}

// Target is the wanted rib. (ID, Revision) names it for good; a change is a new revision.
type Target struct {
	ID       string
	Revision int
	Name     string
	Bar      Bar
	Leg      length.Length // straight leg, centreline
	Arc      length.Length // arc, along the centreline
	Radius   length.Length // wanted centreline radius after release
	Face     Face          // face on which tip-to-tip and crown height are measured
	Buried   length.Length // depth to which the tips are buried, square to the tip line; 0 for a rib that stands on them
	Stations []Station     // A1..An, B1..Bn
	Round    []Characteristic
}

// Characteristic finds one by id.
func (t Target) Characteristic(id CharID) (Characteristic, bool) {
	for _, c := range t.Round {
		if c.ID == id {
			return c, true
		}
	}
	return Characteristic{}, false
}

// BarLength is the cut length that the rib takes: arc and both legs.
func (t Target) BarLength() length.Length { return t.Arc + 2*t.Leg }

// Validate refuses a target that no rib can meet; the error is a *TargetError naming the field.
func (t Target) Validate() error {
	if t.ID == "" {
		return &TargetError{Field: "id", Reason: "is empty"}
	}
	if t.Revision < 1 {
		return &TargetError{Field: "revision", Reason: "must be 1 or more"}
	}
	if err := validateShape(t); err != nil {
		return err
	}
	if len(t.Round) == 0 {
		return &TargetError{Field: "round", Reason: "is empty: name at least one characteristic to measure"}
	}
	seen := map[CharID]bool{}
	for _, c := range t.Round {
		if seen[c.ID] {
			return &TargetError{Field: string(c.ID), Reason: "stands twice in the round"}
		}
		seen[c.ID] = true
		if err := c.validate(); err != nil {
			return err
		}
	}
	return nil
}
