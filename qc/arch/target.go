package arch

import (
	"fmt"
	"math"
	"sort"
	"strings"
)

// Known is what is given about a wanted rib; nil is unknown. Lengths in mm, the arc angle in rad.
// Diameter is needed only where a length is given at a face that is not the centre.
type Known struct {
	BarLength, Leg, Arc          *float64
	Span, Crown, Radius, ArcTurn *float64
	Diameter                     float64
	SpanFace, RadiusFace         Face
	CrownFace                    Face
	CrownFoot                    Foot
}

// eq is one linear condition a R + b l = c on radius and leg, once the half angle is fixed.
type eq struct {
	field   string
	a, b, c float64
}

// conditions writes what is given, other than the arc angle, as linear conditions at a half angle.
func (k Known) conditions(phi float64) []eq {
	s, c := math.Sincos(phi)
	var es []eq
	if k.BarLength != nil {
		es = append(es, eq{"bar_length_mm", 2 * phi, 2, *k.BarLength})
	}
	if k.Arc != nil {
		es = append(es, eq{"arc_mm", 2 * phi, 0, *k.Arc})
	}
	if k.Leg != nil {
		es = append(es, eq{"leg_mm", 0, 1, *k.Leg})
	}
	if k.Radius != nil {
		es = append(es, eq{"radius_mm", 1, 0, radiusFrom(k.RadiusFace, *k.Radius, k.Diameter)})
	}
	if k.Span != nil {
		es = append(es, eq{"span_mm", 2 * s, 2 * c, TipFrom(k.SpanFace, *k.Span, k.Diameter, phi)})
	}
	if k.Crown != nil {
		h := math.Sin(phi / 2)
		es = append(es, eq{"crown_height_mm", 2 * h * h, s, CrownFrom(k.CrownFace, k.CrownFoot, *k.Crown, k.Diameter, phi)})
	}
	return es
}

// NotEnoughError says that what is given leaves the rib open.
type NotEnoughError struct{ Given, Need int }

func (e *NotEnoughError) Error() string {
	return fmt.Sprintf("%d quantities are given; a rib needs %d independent ones of bar length, "+
		"arc, leg, span, crown height, radius and arc angle", e.Given, e.Need)
}

// AmbiguousError lists every rib that fits what is given; one more quantity decides.
type AmbiguousError struct{ Ribs []Shape }

func (e *AmbiguousError) Error() string {
	parts := make([]string, len(e.Ribs))
	for i, r := range e.Ribs {
		parts[i] = fmt.Sprintf("radius %.1f with leg %.1f and arc angle %.1f deg", r.Radius, r.Leg, 2*r.HalfAngle()*180/math.Pi)
	}
	return "more than one rib fits: " + strings.Join(parts, "; or ") + "; give one more quantity"
}

// Solve finds the rib from any three independent quantities. The legs follow the no-waste rule: bar
// length less arc, halved. With more than three the surplus ones must agree within tol mm; the field
// that does not is named. Errors: *InputError, *NotEnoughError, *AmbiguousError.
func (k Known) Solve(tol float64) (Shape, error) {
	if err := k.check(); err != nil {
		return Shape{}, err
	}
	var found []Shape
	if k.ArcTurn != nil {
		phi := *k.ArcTurn / 2
		es := k.conditions(phi)
		if len(es) < 2 {
			return Shape{}, &NotEnoughError{Given: len(es) + 1, Need: 3}
		}
		rib, ok := pick(es, phi)
		if !ok {
			return Shape{}, &NotEnoughError{Given: 2, Need: 3}
		}
		found = []Shape{rib}
	} else {
		es := k.conditions(1)
		if len(es) < 3 {
			return Shape{}, &NotEnoughError{Given: len(es), Need: 3}
		}
		var err error
		if found, err = k.scan(); err != nil {
			return Shape{}, err
		}
	}
	var good []Shape
	var why error
	for _, r := range found {
		if err := r.Check(); err != nil {
			why = err
			continue
		}
		if err := k.agree(r, tol); err != nil {
			why = err
			continue
		}
		good = append(good, r)
	}
	switch {
	case len(good) == 1:
		return good[0], nil
	case len(good) > 1:
		return Shape{}, &AmbiguousError{Ribs: good}
	case why != nil:
		return Shape{}, why
	default:
		return Shape{}, Refuse("no_shape", k.conditions(1)[0].field, "and the other quantities given fit no rib of up to a full turn")
	}
}

func (k Known) check() error {
	opt := func(field string, v *float64, f func(string, float64) error) error {
		if v == nil {
			return nil
		}
		return f(field, *v)
	}
	if err := firstError(
		opt("bar_length_mm", k.BarLength, CheckPositive), opt("arc_mm", k.Arc, CheckPositive), opt("leg_mm", k.Leg, CheckNotNegative),
		opt("span_mm", k.Span, CheckFinite), opt("crown_height_mm", k.Crown, CheckPositive), opt("radius_mm", k.Radius, CheckPositive),
		opt("arc_angle_rad", k.ArcTurn, CheckPositive), CheckNotNegative("diameter_mm", k.Diameter)); err != nil {
		return err
	}
	if k.ArcTurn != nil && *k.ArcTurn > 2*math.Pi {
		return Refuse("out_of_range", "arc_angle_rad", "is %g: more than a full turn", *k.ArcTurn)
	}
	if k.Diameter == 0 && (k.SpanFace != Centre || k.CrownFace != Centre || k.RadiusFace != Centre || k.CrownFoot != EndCentres) {
		return Refuse("out_of_range", "diameter_mm", "is needed to convert a face to the centre")
	}
	return nil
}

// pick solves the best conditioned pair of conditions.
func pick(es []eq, phi float64) (Shape, bool) {
	best, i, j := 0.0, 0, 0
	for a := range es {
		for b := a + 1; b < len(es); b++ {
			n := math.Hypot(es[a].a, es[a].b) * math.Hypot(es[b].a, es[b].b)
			if n == 0 {
				continue
			}
			if d := math.Abs(es[a].a*es[b].b-es[b].a*es[a].b) / n; d > best {
				best, i, j = d, a, b
			}
		}
	}
	if best < 1e-9 {
		return Shape{}, false
	}
	p, q := es[i], es[j]
	det := p.a*q.b - q.a*p.b
	r := (p.c*q.b - q.c*p.b) / det
	l := (p.a*q.c - q.a*p.c) / det
	if math.Abs(l) < 1e-9*math.Abs(r) {
		l = 0
	}
	return Shape{Radius: r, Leg: l, Arc: 2 * r * phi}, true
}

// scan looks for half angles at which the first three conditions agree: the determinant of the
// augmented system vanishes there.
func (k Known) scan() ([]Shape, error) {
	det := func(phi float64) float64 {
		e := k.conditions(phi)
		a, b, c := e[0], e[1], e[2]
		return a.a*(b.b*c.c-c.b*b.c) - a.b*(b.a*c.c-c.a*b.c) + a.c*(b.a*c.b-c.a*b.b)
	}
	const steps = 2000
	var found []Shape
	last := det(math.Pi / steps / 50)
	lastPhi := math.Pi / steps / 50
	for i := 1; i <= steps; i++ {
		phi := math.Pi * float64(i) / steps
		d := det(phi)
		if d == 0 || (d < 0) != (last < 0) {
			p := zero(det, lastPhi, phi)
			if r, ok := pick(k.conditions(p)[:3], p); ok && r.Radius > 0 && r.Leg >= 0 {
				found = append(found, r)
			}
		}
		last, lastPhi = d, phi
	}
	sort.Slice(found, func(i, j int) bool { return found[i].Arc < found[j].Arc })
	out := found[:0]
	for i, r := range found {
		if i == 0 || math.Hypot(r.Radius-out[len(out)-1].Radius, r.Arc-out[len(out)-1].Arc) > 1e-6*r.Radius {
			out = append(out, r)
		}
	}
	return out, nil
}

// agree refuses a rib that misses one of the given quantities by more than tol.
func (k Known) agree(r Shape, tol float64) error {
	phi := r.HalfAngle()
	for _, e := range k.conditions(phi) {
		if got := e.a*r.Radius + e.b*r.Leg; math.Abs(got-e.c) > math.Max(tol, 1e-7*math.Abs(e.c)+1e-7) {
			return Refuse("contradiction", e.field, "is %g at the centreline, but the other quantities make it %.3f", e.c, got)
		}
	}
	return nil
}

// NoWasteLeg is the leg when the whole bar is used: half of what the arc leaves over.
func NoWasteLeg(bar, arc float64) (float64, error) {
	if err := firstError(CheckPositive("bar_length_mm", bar), CheckPositive("arc_mm", arc)); err != nil {
		return 0, err
	}
	if arc > bar {
		return 0, Refuse("out_of_range", "arc_mm", "is %g, longer than the bar of %g", arc, bar)
	}
	return (bar - arc) / 2, nil
}
