package qc

import (
	"fmt"
	"math"

	"springline/qc/arch"
)

// RibShape is the curvature fitted to what was measured on a rib, against its target. Lengths in
// millimetres at the centreline; both curves stand on their own tip line with the crown mark above.
type RibShape struct {
	Target, Fitted arch.Placed
	Shape          arch.Curvature
	Offsets        []arch.OffsetAt // the stations measured
	Motion         arch.Rigid      // by which the fitted curve is moved so that it lies on the stations
	Sentence       string          // the diagnosis with its uncertainty
	CanTell        bool            // false: what was measured covers every difference
	Place          arch.Place      // where to work
	DTip, UTip     float64         // what the fitted shape does to the tips, and its standard uncertainty
}

// The smallest standard uncertainties that readings are given in a fit, mm: the ribs rolled onto the bar and
// the marks on it say no more, however fine the gauge (common practice, no source).
const (
	leastU        = 0.3
	leastUStation = 0.7
)

// rough is how far a reading may lie from the fitted shape, in its uncertainties, before no smooth bend explains
// it.
const rough = 3.0

// FitShape fits the rib's shape to what its verdict holds: even curvature from tip-to-tip, crown against
// shoulders with the crown height, left against right with stations on both sides (arch.Placed.FitCurvature).
// ok is false before anything that tells of the shape was measured.
func (t Target) FitShape(v Verdict) (s RibShape, ok bool) {
	target := t.Rib().Curve().Place()
	arc := t.Arc.MM()
	r := arch.Reading{}
	at := func(id CharID) (dev, u float64, ok bool) {
		j, ok := v.Of(id)
		if !ok || !j.Measured {
			return 0, 0, false
		}
		return j.Dev.Dev.MM(), math.Max(j.U.MM(), leastU), true
	}
	if dev, u, ok := at(Tip); ok {
		tip := target.TipToTip() + dev
		r.Tip, r.UTip = &tip, u
	}
	if dev, u, ok := at(Crown); ok {
		crown := target.CrownHeight() + dev
		r.Crown, r.UCrown = &crown, u
	}
	for _, st := range t.Stations {
		if dev, u, ok := at(st.ID); ok {
			r.Offsets = append(r.Offsets, arch.OffsetAt{Station: arch.Station{Leg: arch.Leg(st.ID[0]), X: st.x()}, Value: dev})
			r.UOffset = math.Max(r.UOffset, math.Max(u, leastUStation))
		}
	}
	shape, err := target.FitCurvature(r, arc)
	if err != nil {
		return RibShape{}, false
	}
	s = RibShape{Target: target, Shape: shape, Offsets: r.Offsets, Fitted: t.bent(shape).Place()}
	d := target.Diagnose(shape, arc)
	s.Sentence, s.CanTell, s.Place = d.Sentence, d.CanTell, d.Place
	s.DTip = s.Fitted.TipToTip() - target.TipToTip()
	for i, u := range shape.U {
		if shape.Known[i] {
			k := arch.Curvature{}
			k.K[i] = u
			s.UTip = math.Hypot(s.UTip, t.bent(k).Place().TipToTip()-target.TipToTip())
		}
	}
	if d.Place == arch.Everywhere {
		s.Sentence += fmt.Sprintf(" (±%.0f mm)", math.Ceil(2*s.UTip))
	}
	s.Motion = s.onto()
	if name, off, score := s.standsOut(t, r); score > rough {
		s.CanTell, s.Place = false, arch.Nowhere
		s.Sentence = fmt.Sprintf("no smooth bend explains the readings; %s stands out by %.1f mm: a kink there, or a misreading", name, off)
	}
	return s, true
}

// standsOut names the reading that is furthest from the fitted shape.
func (s RibShape) standsOut(t Target, r arch.Reading) (name string, off, worst float64) {
	look := func(id CharID, rest, u float64) {
		if c, ok := t.Characteristic(id); ok && math.Abs(rest)/u > worst {
			worst, name, off = math.Abs(rest)/u, c.Label(), rest
		}
	}
	if r.Tip != nil {
		look(Tip, *r.Tip-s.Fitted.TipToTip(), r.UTip)
	}
	if r.Crown != nil {
		look(Crown, *r.Crown-s.Fitted.CrownHeight(), r.UCrown)
	}
	i := 0
	for _, st := range t.Stations {
		if i < len(s.Offsets) && s.Offsets[i].X == st.x() && byte(s.Offsets[i].Leg) == st.ID[0] {
			look(st.ID, s.Offsets[i].Value-s.offsetAt(s.Offsets[i].X), r.UOffset)
			i++
		}
	}
	return name, off, worst
}

// offsetAt is how proud the fitted curve, laid onto the stations, stands of the target at a distance x from
// the crown mark.
func (s RibShape) offsetAt(x float64) float64 {
	at := s.Target.Length()/2 + x
	px, py := s.Moved(at)
	q := s.Target.At(at)
	nx, ny := s.Target.Normal(at)
	return (px-q.X)*nx + (py-q.Y)*ny
}

// x is the station's distance from the crown mark along the bar, mm, negative towards leg A.
func (s Station) x() float64 {
	if s.ID[0] == 'A' {
		return -s.FromCrown.MM()
	}
	return s.FromCrown.MM()
}

// bent is the target's curve with curvature terms added over its arc, in short arcs.
func (t Target) bent(s arch.Curvature) arch.Curve {
	const n = 48
	leg, arc, k := t.Leg.MM(), t.Arc.MM(), 1/t.Radius.MM()
	c := make(arch.Curve, 0, n+2)
	c = append(c, arch.Segment{Length: leg})
	for i := range n {
		x := arc * ((float64(i)+0.5)/n - 0.5)
		sin, cos := math.Sincos(2 * math.Pi * x / arc)
		c = append(c, arch.Segment{Length: arc / n, Curvature: k + s.K[0] + s.K[1]*cos + s.K[2]*sin})
	}
	return append(c, arch.Segment{Length: leg})
}

// onto is the small motion that lays the fitted curve onto the stations as they were measured: the offsets
// do not say how the rib lay when they were taken.
func (s RibShape) onto() arch.Rigid {
	rest := make([]arch.OffsetAt, len(s.Offsets))
	for i, o := range s.Offsets {
		rest[i] = o
		rest[i].Value -= s.Target.OffsetOf(s.Fitted, o.Station)
	}
	a, err := s.Target.AlignLeastSquares(rest)
	if err != nil {
		return arch.Rigid{}
	}
	return a.Motion
}

// Moved is the place of the fitted curve at a distance x from tip A, laid onto the stations.
func (s RibShape) Moved(x float64) (px, py float64) {
	p, c := s.Fitted.At(x), s.Fitted.At(s.Fitted.Length()/2)
	sin, cos := math.Sincos(s.Motion.Turn)
	return c.X + (p.X-c.X)*cos - (p.Y-c.Y)*sin + s.Motion.DX, c.Y + (p.X-c.X)*sin + (p.Y-c.Y)*cos + s.Motion.DY
}
