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
	root     float64 // turn of a hinge at each leg's root, rad
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
		if i == arcSections {
			th += p.root
		}
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
	lever  float64 // from the leg's root to the hands, mm; 0 where a pipe over the leg spares it
	kink   float64 // by which each leg turns at its root, rad
}

// wrap bends the piece round the jig and lets go. The legs see the moment of the arc's end fall to
// nothing at the hands, and keep what that sets at their roots.
func (p *piece) wrap(j jig) {
	k := 1 / (j.face + p.d/2)
	p.root = j.kink
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
		if j.lever == 0 || m <= 0 {
			continue
		}
		if kk := p.curvature(s, m, bent{s.k, p.ei}); kk.k > s.k {
			p.commit(s, kk.k)
		}
	}
	p.release()
}

func (p *piece) release() {
	for i := range p.secs {
		s := &p.secs[i]
		p.commit(s, p.curvature(s, 0, bent{s.k, p.ei}).k)
	}
}

// grip is a piece under load: curvature by section as tried last.
type grip struct {
	*piece
	ks [arcSections + legSections]bent
}

func (p *piece) grip() *grip {
	g := &grip{piece: p}
	for i := range g.ks {
		g.ks[i] = bent{p.secs[i].k, p.ei}
	}
	return g
}

// under gives what a tip force does with the crown at a height above the tip line: how high the tip then
// stands above that line, and the tip-to-tip.
func (g *grip) under(force, height float64) (miss, tip float64) {
	th, x, drop := 0.0, 0.0, 0.0
	for i := range g.secs {
		n := g.ds(i)
		k := g.secs[i].k
		if i == arcSections {
			th += g.root
		}
		if i > 0 && i != arcSections {
			k += g.ks[i-1].k - g.secs[i-1].k
		}
		h := height - drop - n/2*math.Sin(th+k*n/4)
		g.ks[i] = g.curvature(&g.secs[i], force*h, g.ks[i])
		x, drop, th = advance(x, drop, th, g.ks[i].k, n)
	}
	return height - drop, 2 * x
}

// pull moves the tips to a spacing and lets go. It gives up, leaving the piece as it was, where the
// tips cannot be brought there.
//
// Force and crown height are solved for together, tip spacing by tip spacing, by Broyden's method.
func (p *piece) pull(to float64) bool {
	tip, crown := p.shape()
	if math.Abs(tip-to) < 1e-6 {
		return true
	}
	g := p.grip()
	var j [4]float64 // d(miss, tip)/d(force, height)
	slopes := func(f, h float64) {
		df, dh := 1.2e-3*p.mp/crown, 1e-4*crown
		if to > tip {
			df = -df
		}
		m0, t0 := g.under(f, h)
		m1, t1 := g.under(f+df, h)
		m2, t2 := g.under(f, h+dh)
		j = [4]float64{(m1 - m0) / df, (m2 - m0) / dh, (t1 - t0) / df, (t2 - t0) / dh}
	}
	f, h, now := 0.0, crown, tip
	slopes(f, h)
	fresh := true
	step := (to - tip) / 5
	for tries := 0; now != to; tries++ {
		if tries > 60 || math.Abs(step) < 1e-3*math.Abs(to-tip) {
			return false
		}
		goal := now + step
		if math.Abs(to-now) <= 1.01*math.Abs(step) {
			goal = to
		}
		if f1, h1, ok := g.reach(f, h, goal, &j); ok {
			f, h, now = f1, h1, goal
			step *= 1.5
			fresh = false
			continue
		}
		if fresh {
			step /= 3
		}
		slopes(f, h)
		fresh = true
	}
	for i := range p.secs {
		p.commit(&p.secs[i], g.ks[i].k)
	}
	p.release()
	return true
}

// reach solves for the force and height that bring the tips to a spacing, from those of another nearby,
// and brings the slopes up to date on the way.
func (g *grip) reach(f, h, goal float64, j *[4]float64) (force, height float64, ok bool) {
	m, t := g.under(f, h)
	t -= goal
	for range 12 {
		det := j[0]*j[3] - j[1]*j[2]
		df, dh := -(j[3]*m-j[1]*t)/det, -(j[0]*t-j[2]*m)/det
		if !(math.Abs(dh) < g.arc) || math.IsNaN(df) || math.IsInf(df, 0) {
			return 0, 0, false
		}
		f, h = f+df, h+dh
		m1, t1 := g.under(f, h)
		t1 -= goal
		if math.IsNaN(m1) || math.Abs(m1)+math.Abs(t1) > 2*(math.Abs(m)+math.Abs(t))+50 {
			return 0, 0, false
		}
		if math.Abs(m1) < 1e-3 && math.Abs(t1) < 0.02 {
			return f, h, true
		}
		// Broyden's update, force measured in units that weigh as much as height.
		w := sq(j[3] / j[2])
		if !(w > 0) || math.IsInf(w, 0) {
			w = 1
		}
		n := df*df/w + dh*dh
		em, et := m1-(m+j[0]*df+j[1]*dh), t1-(t+j[2]*df+j[3]*dh)
		j[0], j[1] = j[0]+em*df/w/n, j[1]+em*dh/n
		j[2], j[3] = j[2]+et*df/w/n, j[3]+et*dh/n
		m, t = m1, t1
	}
	return 0, 0, false
}

func sq(x float64) float64 { return x * x }
