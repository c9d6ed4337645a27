package stats

import (
	"math"
	"sort"
)

// root finds a zero of f in [a, b] by Brent's method (Brent 1973, Algorithms for Minimization without
// Derivatives, ch. 4) to about 4 units in the last place of the zero. If f has one sign over both
// ends, the end where it is smaller is returned: callers bracket first.
func root(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	if math.Signbit(fa) == math.Signbit(fb) {
		if math.Abs(fa) < math.Abs(fb) {
			return a
		}
		return b
	}
	c, fc := a, fa
	d := b - a
	e := d
	for range 300 {
		if math.Abs(fc) < math.Abs(fb) {
			a, b, c = b, c, b
			fa, fb, fc = fb, fc, fb
		}
		tol := 2 * epsilon * math.Abs(b)
		m := (c - b) / 2
		if math.Abs(m) <= tol || fb == 0 {
			return b
		}
		if math.Abs(e) < tol || math.Abs(fa) <= math.Abs(fb) {
			d, e = m, m
		} else {
			d, e = brentStep(a, b, c, fa, fb, fc, d, e, m, tol)
		}
		a, fa = b, fb
		if math.Abs(d) > tol {
			b += d
		} else {
			b += math.Copysign(tol, m)
		}
		fb = f(b)
		if math.Signbit(fb) == math.Signbit(fc) {
			c, fc = a, fa
			d = b - a
			e = d
		}
	}
	return b
}

// brentStep tries inverse quadratic interpolation or the secant, and falls back to halving.
func brentStep(a, b, c, fa, fb, fc, d, e, m, tol float64) (float64, float64) {
	s := fb / fa
	var p, q float64
	if a == c {
		p, q = 2*m*s, 1-s
	} else {
		q, r := fa/fc, fb/fc
		p = s * (2*m*q*(q-r) - (b-a)*(r-1))
		return brentAccept(p, (q-1)*(r-1)*(s-1), d, e, m, tol)
	}
	return brentAccept(p, q, d, e, m, tol)
}

func brentAccept(p, q, d, e, m, tol float64) (float64, float64) {
	if p > 0 {
		q = -q
	} else {
		p = -p
	}
	if 2*p < math.Min(3*m*q-math.Abs(tol*q), math.Abs(e*q)) {
		return p / q, d
	}
	return m, m
}

const epsilon = 0x1p-52

// Gauss-Kronrod 7-15 nodes and weights (QUADPACK, Piessens et al. 1983, routine QK15).
var (
	gkNodes = [8]float64{0.991455371120812639206854697526329, 0.949107912342758524526189684047851,
		0.864864423359769072789712788640926, 0.741531185599394439863864773280788, 0.586087235467691130294144691693391,
		0.405845151377397166906606412076961, 0.207784955007898467600689403773245, 0}
	gkWeights = [8]float64{0.022935322010529224963732008058970, 0.063092092629978553290700663189204,
		0.104790010322250183839876322541518, 0.140653259715525918745189590510238, 0.169004726639267902826583426598550,
		0.190350578064785409913256402421014, 0.204432940075298892414161999234649, 0.209482141084727828012999174891714}
	gaussWeights = [4]float64{0.129484966168869693270611432679082, 0.279705391489276667901467771423780,
		0.381830050505118944950369775488975, 0.417959183673469387755102040816327}
)

// integral integrates f from the least to the greatest of the cuts by adaptive Gauss-Kronrod panels.
// The cuts name where f changes fast, so that no narrow peak is missed; abs is the error aimed at.
func integral(f func(float64) float64, abs float64, cuts ...float64) float64 {
	cuts = append([]float64(nil), cuts...)
	sort.Float64s(cuts)
	var total compensated
	for i := 1; i < len(cuts); i++ {
		if cuts[i] > cuts[i-1] {
			total.add(panel(f, cuts[i-1], cuts[i], abs/float64(len(cuts)), 12))
		}
	}
	return total.value()
}

func panel(f func(float64) float64, a, b, abs float64, depth int) float64 {
	mid, half := (a+b)/2, (b-a)/2
	centre := f(mid)
	k, g := centre*gkWeights[7], centre*gaussWeights[3]
	for i := range 7 {
		pair := f(mid-half*gkNodes[i]) + f(mid+half*gkNodes[i])
		k += gkWeights[i] * pair
		if i%2 == 1 {
			g += gaussWeights[i/2] * pair
		}
	}
	k, g = k*half, g*half
	if depth == 0 || math.Abs(k-g) <= math.Max(abs, 1e-14*math.Abs(k)) {
		return k
	}
	// The aim is not halved with the panel: below the noise of f, halving would never end.
	return panel(f, a, mid, abs, depth-1) + panel(f, mid, b, abs, depth-1)
}

// compensated is a running sum with its lost low-order part (Neumaier 1974).
type compensated struct{ s, lost float64 }

func (c *compensated) add(v float64) {
	t := c.s + v
	if math.Abs(c.s) >= math.Abs(v) {
		c.lost += (c.s - t) + v
	} else {
		c.lost += (v - t) + c.s
	}
	c.s = t
}

func (c *compensated) value() float64 { return c.s + c.lost }
