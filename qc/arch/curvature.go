package arch

import "math"

// Reading is everything measured on a rib against its target; nil and empty are not measured. Values
// are at the centreline, mm; U fields are standard uncertainties, mm.
type Reading struct {
	Tip, Crown       *float64
	ChordA, ChordB   *float64
	Offsets          []OffsetAt
	UTip, UCrown     float64
	UChord, UOffset  float64
	BarLengthSurplus float64 // measured bar length less the target's: carried into both legs, mm
}

// Curvature is what the readings say about the curvature along the bar: target plus
// k0 + k1 cos(2 pi x/s) + k2 sin(2 pi x/s) over the arc, x from the crown mark towards leg B.
type Curvature struct {
	K       [3]float64 // 1/mm: even, crown against shoulders, left against right
	U       [3]float64 // standard uncertainties, 1/mm; +Inf where the readings say nothing
	Known   [3]bool    // the readings determine the term at all
	Readers int        // number of readings used
	Misfit  float64    // root mean square of the residuals over their uncertainty; about 1 or less is good
}

// Seen says whether a term exceeds twice its uncertainty.
func (s Curvature) Seen(i int) bool { return s.Known[i] && math.Abs(s.K[i]) > 2*s.U[i] }

// basis are the three curvature terms over the arc.
func basis(i int, x, arc float64) float64 {
	switch i {
	case 1:
		return math.Cos(2 * math.Pi * x / arc)
	case 2:
		return math.Sin(2 * math.Pi * x / arc)
	default:
		return 1
	}
}

// influence is how the readings of a placed bar change for a unit of curvature term i: the bar is
// held at the crown mark and each side swings; displacements are integrals of the added turn. Offsets stay
// in that frame, since every fit of offsets frees a rigid motion.
type influence struct {
	tip, crown, chordA, chordB float64
	offset                     []float64
}

// influences gives the influence of every curvature term. The points along the bar are the same for all.
func (p Placed) influences(arc float64, offsets []OffsetAt) [3]influence {
	const n = 24 // steps: to some 2e-6, far finer than the fit's linear terms
	mid := p.Length() / 2
	// move returns the displacements of the point at distance x from the crown mark, by the term added.
	move := func(x float64) (dx, dy [3]float64) {
		end := math.Max(math.Min(x, arc/2), -arc/2)
		q := p.At(mid + x)
		h := end / n
		// Simpson over the arc part: an added curvature turns all beyond it clockwise (towards the inside).
		for j := 0; j <= n; j++ {
			z := h * float64(j)
			w := 4.0
			if j%2 == 0 {
				w = 2
			}
			if j == 0 || j == n {
				w = 1
			}
			b := p.At(mid + z)
			for i := range dx {
				t := -basis(i, z, arc) * w * h / 3
				dx[i] -= t * (q.Y - b.Y)
				dy[i] += t * (q.X - b.X)
			}
		}
		return dx, dy
	}
	ax, ay := move(-mid)
	bx, by := move(mid)
	t, h := p.TipToTip(), p.CrownHeight()
	a, b := p.At(0), p.At(p.Length())
	c := math.Hypot(t/2, h)
	var inf [3]influence
	for i := range inf {
		// The tip line moved by the mean of the tips' heights, and the crown mark stayed.
		inf[i] = influence{tip: bx[i] - ax[i], crown: -(ay[i] + by[i]) / 2}
		inf[i].chordA = (ax[i]*a.X + ay[i]*(a.Y-h)) / c
		inf[i].chordB = (bx[i]*b.X + by[i]*(b.Y-h)) / c
	}
	for _, o := range offsets {
		dx, dy := move(o.X)
		nx, ny := p.Normal(mid + o.X)
		for i := range inf {
			inf[i].offset = append(inf[i].offset, dx[i]*nx+dy[i]*ny)
		}
	}
	return inf
}

// FitCurvature fits the three curvature terms by weighted least squares, adding terms only as far as the
// readings reach: tip-to-tip alone gives k0, with the crown height k1, with half chords or stations on
// both sides k2. Offsets are freed of rigid motion first, so it does not matter how the rib was laid.
func (p Placed) FitCurvature(r Reading, arc float64) (Curvature, error) {
	if err := r.check(); err != nil {
		return Curvature{}, err
	}
	inf := p.influences(arc, r.Offsets)
	end := p.At(p.Length())
	surplus := r.BarLengthSurplus / 2
	s, c := math.Sincos(end.Heading)
	var rows [][]float64
	var y []float64
	add := func(v, u float64, row [3]float64) {
		rows = append(rows, []float64{row[0] / u, row[1] / u, row[2] / u, 0, 0, 0})
		y = append(y, v/u)
	}
	if r.Tip != nil {
		add(*r.Tip-p.TipToTip()-2*surplus*c, r.UTip, [3]float64{inf[0].tip, inf[1].tip, inf[2].tip})
	}
	if r.Crown != nil {
		add(*r.Crown-p.CrownHeight()+surplus*s, r.UCrown, [3]float64{inf[0].crown, inf[1].crown, inf[2].crown})
	}
	// A longer leg moves the tip along the leg: its share of the chord is the cosine between both.
	chord := math.Hypot(end.X, p.CrownHeight())
	along := surplus * (end.X*c - p.CrownHeight()*s) / chord
	if r.ChordA != nil {
		add(*r.ChordA-chord-along, r.UChord, [3]float64{inf[0].chordA, inf[1].chordA, inf[2].chordA})
	}
	if r.ChordB != nil {
		add(*r.ChordB-chord-along, r.UChord, [3]float64{inf[0].chordB, inf[1].chordB, inf[2].chordB})
	}
	motions := 0
	if len(r.Offsets) > 0 {
		motions = p.motions(r.Offsets)
	}
	offsets := r.Offsets
	if len(offsets) <= motions {
		offsets, motions = nil, 0 // the freed motion takes up all that so few offsets say
	}
	for i, o := range offsets {
		add(o.Value, r.UOffset, [3]float64{inf[0].offset[i], inf[1].offset[i], inf[2].offset[i]})
		m := p.row(o.Station)
		last := rows[len(rows)-1]
		last[3], last[4], last[5] = m[0]/r.UOffset, m[1]/r.UOffset, m[2]/r.UOffset
	}
	return fitTerms(rows, y, motions)
}

// fitTerms fits as many of the curvature terms as the rows determine, in the order k0, k1, k2.
func fitTerms(rows [][]float64, y []float64, motions int) (Curvature, error) {
	out := Curvature{U: [3]float64{math.Inf(1), math.Inf(1), math.Inf(1)}, Readers: len(y)}
	for _, terms := range [][]int{{0, 1, 2}, {0, 1}, {0}} {
		cols := append([]int{}, terms...)
		cols = append(cols, []int{3, 4, 5}[:motions]...)
		if len(rows) < len(cols) {
			continue
		}
		sub := make([][]float64, len(rows))
		for i, r := range rows {
			for _, c := range cols {
				sub[i] = append(sub[i], r[c])
			}
		}
		x, cov, ok := leastSquares(sub, y)
		if !ok {
			continue
		}
		for i, t := range terms {
			out.K[t], out.U[t], out.Known[t] = x[i], math.Sqrt(math.Max(cov[i][i], 0)), true
		}
		for i, r := range sub {
			e := y[i]
			for j := range r {
				e -= r[j] * x[j]
			}
			out.Misfit += e * e
		}
		out.Misfit = math.Sqrt(out.Misfit / float64(len(y)))
		return out, nil
	}
	return Curvature{}, Refuse("too_few_points", "readings",
		"do not determine the rib's curvature: a tip-to-tip, or four stations, are the least")
}

func (r Reading) check() error {
	opt := func(field string, v *float64, u float64, uf string) error {
		if v == nil {
			return nil
		}
		return firstError(CheckFinite(field, *v), CheckPositive(uf, u))
	}
	if err := firstError(opt("tip_to_tip_mm", r.Tip, r.UTip, "u_tip_mm"), opt("crown_height_mm", r.Crown, r.UCrown, "u_crown_mm"),
		opt("chord_a_mm", r.ChordA, r.UChord, "u_chord_mm"), opt("chord_b_mm", r.ChordB, r.UChord, "u_chord_mm"),
		CheckFinite("bar_length_mm", r.BarLengthSurplus)); err != nil {
		return err
	}
	if len(r.Offsets) > 0 {
		if err := CheckPositive("u_offset_mm", r.UOffset); err != nil {
			return err
		}
	}
	return checkOffsets(r.Offsets, 0)
}
