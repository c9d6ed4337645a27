package arch

import "math"

// OffsetAt is a measured station: where, and how far outside the target (mm).
type OffsetAt struct {
	Station
	Value float64
}

// Rigid is a small motion of the whole rib: a shift in mm and a turn in rad about the crown mark.
type Rigid struct{ DX, DY, Turn float64 }

// Aligned is a set of station offsets after the best rigid motion has been taken out.
type Aligned struct {
	Motion   Rigid
	Residual []float64 // offset less the motion's share, mm, in the order given
	RMS      float64   // mm
	Zone     float64   // half the width of the band that holds every residual: the largest |residual|, mm
}

// row is how the motions move the offset at a station, and is what both fits linearise.
func (p Placed) row(s Station) [3]float64 {
	mid := p.Length() / 2
	c, q := p.At(mid), p.At(mid+s.X)
	nx, ny := p.Normal(mid + s.X)
	return [3]float64{nx, ny, (-(q.Y-c.Y)*nx + (q.X-c.X)*ny) / p.Length()}
}

// motions says how many motions the offsets can show: on one circular arc a turn about its centre moves
// no offset, so only the two shifts count there.
func (p Placed) motions(offsets []OffsetAt) int {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, o := range offsets {
		lo, hi = math.Min(lo, o.X), math.Max(hi, o.X)
	}
	var rows [][]float64
	for i := 0; i <= 20; i++ {
		r := p.row(Station{X: lo + (hi-lo)*float64(i)/20})
		rows = append(rows, r[:])
	}
	if _, _, ok := leastSquares(rows, make([]float64, len(rows))); ok {
		return 3
	}
	return 2
}

func (p Placed) align(offsets []OffsetAt, m []float64) Aligned {
	a := Aligned{Residual: make([]float64, len(offsets))}
	for i, o := range offsets {
		r := p.row(o.Station)
		v := o.Value
		for j := range m {
			v -= r[j] * m[j]
		}
		a.Residual[i] = v
		a.RMS += v * v
		a.Zone = math.Max(a.Zone, math.Abs(v))
	}
	a.RMS = math.Sqrt(a.RMS / float64(len(offsets)))
	a.Motion = Rigid{DX: m[0], DY: m[1]}
	if len(m) > 2 {
		a.Motion.Turn = m[2] / p.Length()
	}
	return a
}

func checkOffsets(offsets []OffsetAt, least int) error {
	if len(offsets) < least {
		return Refuse("too_few_points", "stations", "are %d; this fit needs %d or more", len(offsets), least)
	}
	for _, o := range offsets {
		if err := CheckFinite("offset_mm", o.Value); err != nil {
			return err
		}
	}
	return nil
}

// AlignLeastSquares removes the rigid motion that leaves the smallest sum of squares. It needs four
// stations or more: three always fit.
func (p Placed) AlignLeastSquares(offsets []OffsetAt) (Aligned, error) {
	if err := checkOffsets(offsets, 4); err != nil {
		return Aligned{}, err
	}
	n := p.motions(offsets)
	rows := make([][]float64, len(offsets))
	y := make([]float64, len(offsets))
	for i, o := range offsets {
		r := p.row(o.Station)
		rows[i], y[i] = r[:n], o.Value
	}
	m, _, ok := leastSquares(rows, y)
	if !ok {
		return Aligned{}, Refuse("no_shape", "stations", "lie so that shift and turn cannot be told apart")
	}
	return p.align(offsets, m), nil
}

// leastSquares solves by normal equations with columns scaled to unit length and returns the solution
// and the inverse of the normal matrix (the covariance for unit variance). ok is false when singular.
func leastSquares(rows [][]float64, y []float64) (x []float64, cov [][]float64, ok bool) {
	if len(rows) == 0 {
		return nil, nil, false
	}
	n := len(rows[0])
	scale := make([]float64, n)
	for _, r := range rows {
		for j, v := range r {
			scale[j] += v * v
		}
	}
	for j := range scale {
		if scale[j] == 0 {
			return nil, nil, false
		}
		scale[j] = math.Sqrt(scale[j])
	}
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, 2*n+1)
		a[i][n+1+i] = 1
	}
	for k, r := range rows {
		for i := range n {
			for j := range n {
				a[i][j] += r[i] / scale[i] * r[j] / scale[j]
			}
			a[i][n] += r[i] / scale[i] * y[k]
		}
	}
	for i := range n {
		p := i
		for k := i + 1; k < n; k++ {
			if math.Abs(a[k][i]) > math.Abs(a[p][i]) {
				p = k
			}
		}
		if math.Abs(a[p][i]) < 1e-10 {
			return nil, nil, false
		}
		a[i], a[p] = a[p], a[i]
		for k := range n {
			if k == i {
				continue
			}
			f := a[k][i] / a[i][i]
			for j := i; j < len(a[k]); j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	x = make([]float64, n)
	cov = make([][]float64, n)
	for i := range n {
		x[i] = a[i][n] / a[i][i] / scale[i]
		cov[i] = make([]float64, n)
		for j := range n {
			cov[i][j] = a[i][n+1+j] / a[i][i] / scale[i] / scale[j]
		}
	}
	return x, cov, true
}
