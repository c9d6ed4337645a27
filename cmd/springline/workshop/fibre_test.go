package workshop

import "math"

// steel is one bar's material: Menegotto and Pinto (1973), sigma* = b eps* + (1-b) eps*/(1+eps*^R)^(1/R),
// with R falling from r0 on the first loading to r0 - a1 xi/(a2+xi) after a plastic excursion xi.
type steel struct {
	modulus, yield, b, r0, a1, a2 float64
	memory                        memory
}

// memory says how a bar remembers its reversals; real steels lie somewhere among the three.
type memory int

const (
	ofBranch  memory = iota // R by the plastic excursion of the branch just left
	ofExtreme               // R by the farthest strain ever reached on the side gone to
	reduced                 // R stays, but every reversal yields early, at a share of the first yield
	sliders                 // a bundle of elastic-plastic sliders: loops close and are forgotten (Masing)
)

// bundle is how many sliders stand for one fibre of that kind; their yields spread from a share of the
// yield upwards, the wider the rounder.
const bundle = 8

// fibre remembers the branch it is on: where it turned, where the asymptotes meet, and its R.
type fibre struct {
	e, s   float64 // now
	er, sr float64 // last turn
	e0, s0 float64 // meeting of the asymptotes of this branch
	r      float64
	dir    float64         // +1, -1; 0 before any load
	hi, lo float64         // farthest strains at a turn
	slip   [bundle]float64 // plastic strain of each slider
}

// to gives the fibre at another strain. A step against the branch's direction starts a new branch.
func (f fibre) to(m *steel, e float64) fibre {
	d := e - f.e
	if d == 0 {
		return f
	}
	if m.memory == sliders {
		f.e, f.s = e, m.b*m.modulus*e
		width := 1.6 / m.r0 * 2
		for i := range f.slip {
			limit := m.yield / m.modulus * (1 - width/2 + width*(float64(i)+0.5)/bundle)
			x := math.Min(math.Max(e-f.slip[i], -limit), limit)
			f.slip[i] = e - x
			f.s += (1 - m.b) * m.modulus * x / bundle
		}
		return f
	}
	dir := math.Copysign(1, d)
	ey := m.yield / m.modulus
	if f.dir == 0 {
		f.dir, f.r, f.e0, f.s0 = dir, m.r0, dir*ey, dir*m.yield
	} else if dir != f.dir {
		xi := math.Max(0, f.dir*(f.e-f.e0)) / ey
		f.er, f.sr, f.dir = f.e, f.s, dir
		f.hi, f.lo = math.Max(f.hi, f.e), math.Min(f.lo, f.e)
		yield := m.yield
		if m.memory == reduced {
			yield *= 1 - 0.4*m.a1/m.r0
		}
		f.e0 = (dir*yield*(1-m.b) - f.sr + m.modulus*f.er) / (m.modulus * (1 - m.b))
		switch m.memory {
		case ofExtreme:
			far := math.Max(f.hi, ey)
			if dir < 0 {
				far = math.Min(f.lo, -ey)
			}
			xi = math.Abs(far-f.e0) / ey
			f.r = m.r0 - m.a1*xi/(m.a2+xi)
		case reduced:
			f.r = m.r0
		default:
			f.r = m.r0 - m.a1*xi/(m.a2+xi)
		}
		f.s0 = f.sr + m.modulus*(f.e0-f.er)
	}
	x := (e - f.er) / (f.e0 - f.er)
	// |x|^r and the r-th root by logarithms: the bench spends most of its time here.
	root := 1.0
	if a := math.Abs(x); a > 0 {
		root = math.Exp(-math.Log1p(math.Exp(f.r*math.Log(a))) / f.r)
	}
	f.e, f.s = e, f.sr+(f.s0-f.sr)*(m.b+(1-m.b)*root)*x
	return f
}

// layers is how many fibres stand for half the depth; the other half mirrors them.
const layers = 12

// section is a round section of the bar somewhere along its length.
type section struct {
	k  float64 // curvature, 1/mm
	fs [layers]fibre
}

// bar is a steel with a diameter.
type bar struct {
	steel
	d      float64
	ei, mp float64         // N mm^2; N mm, of the perfectly plastic section
	y      [layers]float64 // fibre heights, mm
	a      [layers]float64 // moment weights: area times height of both halves, mm^3
	n      int             // fibres in use
}

func newBar(m steel, d float64) *bar {
	b := &bar{steel: m, d: d, n: layers, mp: m.yield * d * d * d / 6}
	r, h := d/2, math.Pi/2/layers
	for i := range layers {
		s, c := math.Sincos((float64(i) + 0.5) * h)
		b.y[i] = r * s
		b.a[i] = 2 * r * s * 2 * r * c * r * c * h
		b.ei += b.modulus * b.y[i] * b.a[i]
	}
	return b
}

// whole makes the section of one piece, that carries moment over curvature as the steel carries stress
// over strain, with a roundness of its own: physics of another kind, with no depth to its memory.
func (b *bar) whole(r0, a1 float64) *bar {
	b.n, b.y[0], b.a[0] = 1, 1, 1
	b.modulus, b.yield, b.r0, b.a1 = b.ei, b.mp, r0, a1
	return b
}

func (b *bar) moment(s *section, k float64) float64 {
	m := 0.0
	for i := range b.n {
		m += s.fs[i].to(&b.steel, k*b.y[i]).s * b.a[i]
	}
	return m
}

func (b *bar) commit(s *section, k float64) {
	for i := range b.n {
		s.fs[i] = s.fs[i].to(&b.steel, k*b.y[i])
	}
	s.k = k
}

// bent is a curvature tried for a section and the slope of moment over curvature found there: where the
// next search starts.
type bent struct{ k, slope float64 }

// curvature finds the curvature at which the section carries a moment, by bracketed secants from a guess.
func (b *bar) curvature(s *section, m float64, from bent) bent {
	near := 6e-7 * b.mp
	x0, f0 := from.k, b.moment(s, from.k)-m
	if math.Abs(f0) < near {
		return from
	}
	step := -f0 / from.slope
	x1 := x0 + step
	f1 := b.moment(s, x1) - m
	for range 60 {
		if (f1 < 0) != (f0 < 0) || math.Abs(f1) < near {
			break
		}
		// Still short of the moment: on by the secant, at most fourfold.
		n := step * 1.7
		if slope := (f1 - f0) / step; slope > 0 {
			n = math.Copysign(math.Min(math.Max(1.02*math.Abs(f1/slope), math.Abs(step)/8), 4*math.Abs(step)), step)
		}
		x0, f0 = x1, f1
		step = n
		x1 += step
		f1 = b.moment(s, x1) - m
	}
	slope := from.slope
	for i := range 80 {
		if x1 != x0 && f1 != f0 && i == 0 {
			slope = (f1 - f0) / (x1 - x0)
		}
		if math.Abs(f1) < near || f1 == f0 {
			break
		}
		x := x1 - f1*(x1-x0)/(f1-f0)
		if i%6 == 5 || !(x > math.Min(x0, x1) && x < math.Max(x0, x1)) {
			x = (x0 + x1) / 2
		}
		fx := b.moment(s, x) - m
		if x != x1 && fx != f1 {
			slope = (fx - f1) / (x - x1)
		}
		if (fx < 0) != (f1 < 0) {
			x0, f0 = x1, f1
		} else {
			f0 /= 2
		}
		x1, f1 = x, fx
	}
	if !(slope > 0) {
		slope = b.ei
	}
	return bent{x1, slope}
}
