package picture

import (
	"cmp"
	"math"
	"slices"

	"springline/qc"
	"springline/reports/draw"
)

// ribLine is the centreline of a target in millimetres of the rib: the arc's centre is the origin, y up, leg A
// on the left, legs along the tangents at the ends of the arc.
type ribLine struct {
	radius, leg, phi float64
	stations         []offset // of the target, with nothing off it
	ids              []qc.CharID
}

// offset is how far a rib is off its target at an angle from the crown (leg A negative), along the normal.
type offset struct{ angle, by float64 }

func newRibLine(t qc.Target) ribLine {
	l := ribLine{radius: t.Radius.MM(), leg: t.Leg.MM()}
	l.phi = t.Arc.MM() / (2 * l.radius)
	for _, s := range t.Stations {
		a := s.FromCrown.MM() / l.radius
		if s.ID[0] == 'A' {
			a = -a
		}
		l.stations, l.ids = append(l.stations, offset{angle: a}), append(l.ids, s.ID)
	}
	return l
}

// angle is where a characteristic is measured; the crown for all that is no station.
func (l ribLine) angle(id qc.CharID) float64 {
	if i := slices.Index(l.ids, id); i >= 0 {
		return l.stations[i].angle
	}
	return 0
}

// offsets are those of a rib at its stations, enlarged; without stations the crown alone says what the arc
// does between its ends.
func (l ribLine) offsets(dev map[qc.CharID]float64, times float64) []offset {
	ps := slices.Clone(l.stations)
	for i, id := range l.ids {
		ps[i].by = dev[id] * times
	}
	if len(ps) == 0 {
		ps = []offset{{-l.phi, 0}, {0, dev[qc.Crown] * times}, {l.phi, 0}}
	}
	slices.SortStableFunc(ps, func(p, q offset) int { return cmp.Compare(p.angle, q.angle) })
	return ps
}

// offsetAt is straight between measured points and level beyond the last; nothing where none are.
func offsetAt(ps []offset, a float64) float64 {
	switch {
	case len(ps) == 0:
		return 0
	case a <= ps[0].angle:
		return ps[0].by
	}
	for i := 1; i < len(ps); i++ {
		if p, q := ps[i-1], ps[i]; a <= q.angle {
			return p.by + (q.by-p.by)*(a-p.angle)/(q.angle-p.angle)
		}
	}
	return ps[len(ps)-1].by
}

// at is a point of the arc, so far out along the normal.
func (l ribLine) at(a, out float64) draw.Point {
	return draw.Point{X: (l.radius + out) * math.Sin(a), Y: (l.radius + out) * math.Cos(a)}
}

// tip is the end of the leg on the left (-1) or the right (1), so far outwards.
func (l ribLine) tip(side, out float64) draw.Point {
	sin, cos := math.Sincos(l.phi)
	return draw.Point{X: side * (l.radius*sin + l.leg*cos + out), Y: l.radius*cos - l.leg*sin}
}

// line runs from the left tip to the right one; turned shows the rib end for end. Half is how far out each tip
// stands.
func (l ribLine) line(ps []offset, half float64, turned bool) []draw.Point {
	line := []draw.Point{l.tip(-1, half)}
	const n = 60
	for i := 0; i <= n; i++ {
		a := -l.phi + 2*l.phi*float64(i)/n
		line = append(line, l.at(a, offsetAt(ps, mirrored(a, turned))))
	}
	return append(line, l.tip(1, half))
}

func mirrored(a float64, turned bool) float64 {
	if turned {
		return -a
	}
	return a
}

// enlarge is the largest of a few round factors that keeps what is off by so much, times the factor, within room.
func enlarge(worst, room float64) int {
	best := 1
	for _, k := range []int{2, 5, 10, 20, 50, 100} {
		if float64(k)*worst <= room {
			best = k
		}
	}
	return best
}

// leastWorst is what ribs that are hardly off at all are taken to be off by, mm.
const leastWorst = 0.1

// fit maps rib millimetres, y up, onto a box of paper millimetres, y down.
type fit struct{ scale, x, y float64 }

// newFit fits points into a box of w by h with a margin, its upper left corner at x, y.
func newFit(ps []draw.Point, x, y, w, h float64) fit {
	lo, hi := ps[0], ps[0]
	for _, p := range ps {
		lo = draw.Point{X: math.Min(lo.X, p.X), Y: math.Min(lo.Y, p.Y)}
		hi = draw.Point{X: math.Max(hi.X, p.X), Y: math.Max(hi.Y, p.Y)}
	}
	s := math.Min((w-4)/(hi.X-lo.X), (h-2)/(hi.Y-lo.Y))
	return fit{scale: s, x: x + w/2 - s*(lo.X+hi.X)/2, y: y + h/2 + s*(lo.Y+hi.Y)/2}
}

func (f fit) at(p draw.Point) draw.Point {
	return draw.Point{X: f.x + f.scale*p.X, Y: f.y - f.scale*p.Y}
}

func (f fit) all(ps []draw.Point) []draw.Point {
	out := make([]draw.Point, len(ps))
	for i, p := range ps {
		out[i] = f.at(p)
	}
	return out
}
