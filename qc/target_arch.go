package qc

import (
	"errors"
	"fmt"
	"math"

	"springline/qc/arch"
	"springline/qc/length"
)

// ArchSpec is what a person states to get the target of a plain arch rib.
type ArchSpec struct {
	ID, Name        string
	Revision        int
	Bar             Bar
	Leg, Arc        length.Length
	Radius          length.Length // centreline, after release
	Face            Face
	Buried          length.Length // depth to which the tips are buried; 0 for none
	StationsPerSide int
	TolTip          length.Length // +- on tip-to-tip
	TolCrown        length.Length // +- on crown height
	TolStation      length.Length // +- on each station offset
	TipRepeats      int           // 2 means lift and relay
	Band            length.Length // friction half-band assumed for a single reading
}

// NewArch builds the target of a plain arch rib: tip-to-tip and crown height on the face named, then
// the stations from leg A over the crown to leg B. Nominal values are rounded to 0.1 mm, the finest
// that a tape target can mean; the error is a *TargetError.
func NewArch(s ArchSpec) (Target, error) {
	t := Target{
		ID: s.ID, Revision: s.Revision, Name: s.Name, Bar: s.Bar,
		Leg: s.Leg, Arc: s.Arc, Radius: s.Radius, Face: s.Face, Buried: s.Buried,
	}
	if err := validateShape(t); err != nil {
		return Target{}, err
	}
	tip, crown := t.nominal()
	t.Round = append(t.Round,
		Characteristic{ID: Tip, Kind: TipToTip, Face: s.Face, Nominal: tip, Lower: -s.TolTip,
			Upper: s.TolTip, Repeats: max(1, s.TipRepeats), Band: s.Band},
		Characteristic{ID: Crown, Kind: CrownHeight, Face: s.Face, Nominal: crown,
			Lower: -s.TolCrown, Upper: s.TolCrown, Repeats: 1, Band: s.Band / 2},
	)
	n := s.StationsPerSide
	for _, side := range []byte{'A', 'B'} {
		for i := 1; i <= n; i++ {
			from := s.Arc / 2 * length.Length(n+1-i) / length.Length(n+1)
			t.Stations = append(t.Stations, Station{ID: stationID(side, i), FromCrown: from})
		}
	}
	for i := 1; i <= n; i++ {
		t.Round = append(t.Round, s.station('A', i))
	}
	for i := n; i >= 1; i-- {
		t.Round = append(t.Round, s.station('B', i))
	}
	if err := t.Validate(); err != nil {
		return Target{}, err
	}
	return t, nil
}

func (s ArchSpec) station(side byte, i int) Characteristic {
	return Characteristic{ID: stationID(side, i), Kind: StationOffset, Face: Outside, Lower: -s.TolStation, Upper: s.TolStation, Repeats: 1}
}

// Rib is the wanted rib on its centreline, for the geometry of qc/arch.
func (t Target) Rib() arch.Shape {
	return arch.Shape{Radius: t.Radius.MM(), Leg: t.Leg.MM(), Arc: t.Arc.MM()}
}

// Arch is the face in the words of qc/arch.
func (f Face) Arch() arch.Face {
	switch f {
	case Inside:
		return arch.Inside
	case Outside:
		return arch.Outside
	default:
		return arch.Centre
	}
}

// nominal gives tip-to-tip and crown height on the target's face, the crown height from the middle of
// the tip ends, rounded to 0.1 mm.
func (t Target) nominal() (tip, crown length.Length) {
	r, d := t.Rib(), t.Bar.Diameter.MM()
	tenth := func(v float64) length.Length { return length.Length(math.Round(v*10)) * 100 * length.Micrometre }
	return tenth(arch.TipAt(t.Face.Arch(), r.TipToTip(), d, r.HalfAngle())),
		tenth(arch.CrownAt(t.Face.Arch(), arch.EndCentres, r.CrownHeight(), d, r.HalfAngle()))
}

func validateShape(t Target) error {
	bad := func(field, format string, args ...any) error {
		return &TargetError{Field: field, Reason: fmt.Sprintf(format, args...)}
	}
	switch {
	case t.Bar.Diameter <= 0 || t.Bar.Diameter > 60*length.Millimetre:
		return bad("bar diameter", "is %s mm; cold-bent bar is up to 60 mm", t.Bar.Diameter)
	case t.Radius <= 0 || t.Radius > 100*length.Metre:
		return bad("radius", "is %s mm; it must be above zero and at most 100 m", t.Radius)
	case t.Arc <= 0 || t.Arc > 100*length.Metre:
		return bad("arc", "is %s mm; it must be above zero and at most 100 m", t.Arc)
	case t.Leg < 0 || t.Leg > 100*length.Metre:
		return bad("leg", "is %s mm; it must be zero or more and at most 100 m", t.Leg)
	case t.Face != Centre && t.Face != Inside && t.Face != Outside:
		return bad("face", "%q is not centre, inside or outside", t.Face)
	}
	if least := t.Bar.minInsideRadius(); t.Radius-t.Bar.Diameter/2 < least {
		return bad("radius", "%s mm on the centreline bends the %s mm bar inside its minimum: the "+
			"inside of the bend must be %s mm or more (EN 1992-1-1:2004 Table 8.1N)",
			t.Radius, t.Bar.Diameter, least)
	}
	if phi := t.Rib().HalfAngle(); phi >= math.Pi {
		return bad("arc", "%s mm on a radius of %s mm goes once round and more (%.0f degrees); lengthen the radius or shorten the arc",
			t.Arc, t.Radius, 2*phi*180/math.Pi)
	}
	if tip, _ := t.nominal(); tip <= 0 {
		return bad("leg", "the legs cross: with legs of %s mm the tips would meet and pass "+
			"(tip-to-tip %s mm); shorten the legs or open the arc", t.Leg, tip)
	}
	if _, _, err := t.AboveGround(); err != nil || t.Buried < 0 {
		return bad("buried depth", "is %s mm; it must leave some of the rib's %.0f mm of height above the ground",
			t.Buried, t.Rib().CrownHeight())
	}
	return nil
}

// AboveGround is what stands out of the ground, mm: the width of the opening there from bar centre to bar
// centre, and the clear height under the inside of the crown.
func (t Target) AboveGround() (width, clear float64, err error) {
	width, clear, err = t.Rib().Curve().Place().BuriedWidth(t.Buried.MM())
	if clear -= t.Bar.Diameter.MM() / 2; err == nil && clear <= 0 {
		err = errors.New("nothing of the rib stands above the ground")
	}
	return width, clear, err
}

// minInsideRadius is half of the least mandrel diameter: 4 diameters up to 16 mm bar, 7 above
// (EN 1992-1-1:2004, Table 8.1N).
func (b Bar) minInsideRadius() length.Length {
	if b.Diameter <= 16*length.Millimetre {
		return 2 * b.Diameter
	}
	return 7 * b.Diameter / 2
}
