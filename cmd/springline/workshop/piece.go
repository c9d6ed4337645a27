package workshop

import "math"

// Sections along half a rib, crown to tip.
const (
	arcSections = 30
	legSections = 14
)

// piece is a bar on the bench: one half of a rib that is bent alike on both sides.
type piece struct {
	*bar
	leg, arc float64
	secs     [arcSections + legSections]section
}

func (p *piece) ds(i int) float64 {
	if i < arcSections {
		return p.arc / 2 / arcSections
	}
	return p.leg / legSections
}

// shape gives tip-to-tip and crown height of the piece with its present curvatures.
func (p *piece) shape() (tip, crown float64) {
	th, x, y := 0.0, 0.0, 0.0
	for i := range p.secs {
		x, y, th = advance(x, y, th, p.secs[i].k, p.ds(i))
	}
	return 2 * x, y
}

func advance(x, y, th, k, n float64) (float64, float64, float64) {
	h := k * n / 2
	c := n
	if math.Abs(h) > 1e-6 {
		c = n * math.Sin(h) / h
	}
	s, q := math.Sincos(th + h)
	return x + c*q, y + c*s, th + 2*h
}

// jig is what the bar meets: the true centreline radius of the day, blocks, and where the hands pull.
type jig struct {
	face   float64
	blocks int
	bulge  float64 // share by which the curvature at a block exceeds the mean
	lever  float64 // from the leg's root to the hands, mm
}

// wrap bends the piece round the jig and lets go. The legs see the moment of the arc's end fall to
// nothing at the hands, and keep what that sets at their roots.
func (p *piece) wrap(j jig) {
	k := 1 / (j.face + p.d/2)
	end := 0.0
	for i := range arcSections {
		// Curvature peaks at each block and sags between; the mean over a gap is that of the jig.
		at := (float64(i) + 0.5) / arcSections * float64(j.blocks-1) / 2
		kk := k * (1 + j.bulge*math.Cos(2*math.Pi*at))
		s := &p.secs[i]
		end = p.moment(s, kk)
		p.commit(s, kk)
	}
	for i := range legSections {
		x := (float64(i) + 0.5) * p.leg / legSections
		s := &p.secs[arcSections+i]
		m := end * (1 - x/j.lever)
		if m <= 0 {
			continue
		}
		if kk := p.curvature(s, m); kk > s.k {
			p.commit(s, kk)
		}
	}
	p.release()
}

func (p *piece) release() {
	for i := range p.secs {
		s := &p.secs[i]
		p.commit(s, p.curvature(s, 0))
	}
}

// loaded finds the curvatures under a tip force with the crown at height h0 above the tip line; miss is
// how high the tip then stands above that line.
func (p *piece) loaded(force, h0 float64, ks []float64) (miss, tip float64) {
	th, x, drop := 0.0, 0.0, 0.0
	for i := range p.secs {
		n := p.ds(i)
		k := p.secs[i].k
		if i > 0 && ks[i-1] != 0 {
			k += ks[i-1] - p.secs[i-1].k
		}
		h := h0 - drop - n/2*math.Sin(th+k*n/4)
		ks[i] = p.curvature(&p.secs[i], force*h)
		x, drop, th = advance(x, drop, th, ks[i], n)
	}
	return h0 - drop, 2 * x
}

// pull moves the tips to a spacing and lets go. It gives up, leaving the piece as it was, where the
// tips cannot be brought there.
func (p *piece) pull(to float64) bool {
	tip0, crown := p.shape()
	ks := make([]float64, len(p.secs))
	// For a force, the height that closes the tip line; for a spacing, the force.
	height := crown
	at := func(f float64) float64 {
		g := func(h float64) float64 { miss, _ := p.loaded(f, h, ks); return miss }
		a, b := height, height*1.01
		fa, fb := g(a), g(b)
		for range 40 {
			if math.Abs(fb) < 1e-4 || fb == fa {
				break
			}
			c := b - fb*(b-a)/(fb-fa)
			c = math.Min(math.Max(c, 0.5*b), 1.5*b)
			a, fa, b = b, fb, c
			fb = g(b)
		}
		height = b
		_, tip := p.loaded(f, b, ks)
		return tip - to
	}
	// Start from the elastic compliance found by a small force and step until the spacing is passed.
	f0, m0 := 0.0, tip0-to
	if math.Abs(m0) < 1e-6 {
		return true
	}
	small := math.Copysign(1e-3*p.yield*p.d*p.d*p.d/6/crown, m0)
	step := m0 / ((m0 - at(small)) / small) / 12
	f1, m1 := small, at(small)
	for n := 0; (m1 < 0) == (m0 < 0); n++ {
		if n > 400 || math.IsNaN(m1) {
			return false
		}
		f0 = f1
		f1 += step
		m1 = at(f1)
		if math.Abs(m1) > 5*math.Abs(m0)+2000 {
			f1 -= step
			step /= 4
			m1 = at(f1)
		}
	}
	lo, hi := f0, f1
	ml := m0
	if f0 != 0 {
		ml = at(f0)
	}
	for range 60 {
		f := lo + (hi-lo)*ml/(ml-m1)
		if !(f > math.Min(lo, hi) && f < math.Max(lo, hi)) {
			f = (lo + hi) / 2
		}
		m := at(f)
		if math.Abs(m) < 0.02 {
			break
		}
		if (m < 0) == (ml < 0) {
			lo, ml = f, m
			m1 /= 2
		} else {
			hi, m1 = f, m
			ml /= 2
		}
	}
	for i := range p.secs {
		p.commit(&p.secs[i], ks[i])
	}
	p.release()
	return true
}
