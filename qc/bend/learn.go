package bend

import (
	"math"
)

// What is believed before the first bar, and how fast a lot may wander. All relative, of the spring
// constant; chosen from the spread of mill certificates and of shop jigs (common practice, no source)
// and overruled by a few bars.
const (
	priorMean   = 0.08   // bars yield later than their grade says, ln
	priorSD     = 0.13   // of one maker's level
	lotSD       = 0.05   // between lots of one maker
	barSD       = 0.01   // from bar to bar within a lot, the start of the estimate
	barWeight   = 4.0    // bars' worth of belief in barSD
	driftSD     = 0.0008 // wander of jig and lot from one bar to the next
	rebuildSD   = 0.002  // a jig built anew is not quite where it was meant
	hardenMean  = 0.01   // effective hardening over modulus: how the loss of curvature grows on a tighter jig
	hardenSD    = 0.03
	hardenLow   = -0.07
	hardenHigh  = 0.09
	hardenCount = 17
)

// level is the spring constant of one lot in ln units of the grade's: mean, variance, bars seen.
type level struct {
	mean, variance float64
	bars           int
	face           float64 // jig of the last bar
	lastMiss       []float64
}

// guess is one value of the effective hardening with the lot levels that go with it and its weight.
type guess struct {
	e      float64
	weight float64
	lots   map[string]level
	fresh  level // what a lot without bars is expected to be
}

// learned is all that the bars so far say about the spring constant.
type learned struct {
	Order
	guesses []guess
	bar     float64 // estimated scatter from bar to bar, ln units
	used    int
	left    int // bars that say nothing: sprang straight or inwards
}

// constant gives ln(ky/ky of the grade) that makes a jig of loaded curvature kj leave kf, for an effective
// hardening e; ok is false where no constant does.
func (o Order) constant(kj, kf, e float64) (z float64, ok bool) {
	q := kf / (kj * (1 - e))
	if !(q > 1e-9 && q < 1-1e-9) {
		return 0, false
	}
	return math.Log(springRatioInverse(q) * kj * o.yieldRadius()), true
}

// spring gives the free curvature that a jig leaves at a constant z.
func (o Order) spring(kj, z, e float64) float64 {
	return (1 - e) * kj * released(math.Exp(z)/(o.yieldRadius()*kj))
}

// jigFor gives the loaded curvature that leaves kf at a constant z.
func (o Order) jigFor(kf, z, e float64) float64 {
	y := math.Exp(z) * o.GradeYield
	// Hardening may be negative here: it is only the slope of the loss, so the inverse is solved directly.
	b := Bar{Diameter: o.Diameter, Modulus: o.Modulus, Yield: y, Hardening: e * o.Modulus}
	return b.loadedFor(kf)
}

// learn weighs every effective hardening by how well it explains the bars, and follows each lot's
// constant by a filter that forgets a little with every bar and more when the jig is rebuilt.
func (o Order) learn(tests []Test) learned {
	l := learned{Order: o, bar: barSD}
	type seen struct {
		lot  string
		face float64
		z, u [hardenCount]float64
		ok   bool
	}
	var bars []seen
	for _, t := range tests {
		s := seen{lot: t.Lot, face: t.Face, ok: true}
		kf, err := o.curvature(t.Tip)
		kf1, err1 := o.curvature(t.Tip - 1)
		if err != nil || err1 != nil {
			l.left++
			continue
		}
		kj := 1 / (t.Face + o.Diameter/2)
		for i := range s.z {
			z, ok := o.constant(kj, kf, hardenAt(i))
			z1, ok1 := o.constant(kj, kf1, hardenAt(i))
			s.z[i], s.u[i] = z, (z-z1)*math.Max(t.UTip, 0.3)
			s.ok = s.ok && ok && ok1
		}
		if !s.ok {
			l.left++
			continue
		}
		bars = append(bars, s)
	}
	l.used = len(bars)
	// A few rounds settle the bar-to-bar scatter.
	for round := range 4 {
		l.guesses = l.guesses[:0]
		best := math.Inf(-1)
		var ratio, count float64
		for i := range hardenCount {
			g := guess{e: hardenAt(i), lots: map[string]level{}}
			logw := -sq((g.e-hardenMean)/hardenSD) / 2
			means, sizes := map[string]float64{}, map[string]float64{}
			for _, b := range bars {
				means[b.lot] += b.z[i]
				sizes[b.lot]++
			}
			chi, n := 0.0, 0.0
			for _, b := range bars {
				lv, known := g.lots[b.lot]
				if !known {
					lv = o.prior(means, sizes, b.lot)
				} else {
					lv.variance += sq(driftSD)
					if math.Abs(lv.face-b.face) > 1e-6*b.face {
						lv.variance += sq(rebuildSD)
					}
				}
				miss := b.z[i] - lv.mean
				s := lv.variance + sq(l.bar) + sq(b.u[i])
				logw -= math.Log(s)/2 + miss*miss/(2*s)
				if known {
					chi += miss * miss / s
					n++
				}
				lv.lastMiss = append(lv.lastMiss[max(0, len(lv.lastMiss)-2):len(lv.lastMiss):len(lv.lastMiss)], miss/math.Sqrt(s))
				gain := lv.variance / s
				lv.mean += gain * miss
				lv.variance *= 1 - gain
				lv.bars++
				lv.face = b.face
				g.lots[b.lot] = lv
			}
			g.fresh = o.prior(means, sizes, "")
			g.weight = logw
			if logw > best {
				best, ratio, count = logw, chi, n
			}
			l.guesses = append(l.guesses, g)
		}
		total := 0.0
		for i := range l.guesses {
			l.guesses[i].weight = math.Exp(l.guesses[i].weight - best)
			total += l.guesses[i].weight
		}
		for i := range l.guesses {
			l.guesses[i].weight /= total
		}
		if round < 3 {
			l.bar *= math.Sqrt((barWeight + ratio) / (barWeight + count))
			l.bar = math.Min(math.Max(l.bar, 0.001), 0.1)
		}
	}
	return l
}

func hardenAt(i int) float64 {
	return hardenLow + (hardenHigh-hardenLow)*float64(i)/(hardenCount-1)
}

// prior is the level of a lot before its first bar, shrunk to the other lots' mean.
func (o Order) prior(means, sizes map[string]float64, but string) level {
	w, m := 1/sq(priorSD), priorMean/sq(priorSD)
	for lot, n := range sizes {
		if lot == but {
			continue
		}
		v := 1 / (sq(lotSD) + sq(barSD)/n)
		w += v
		m += v * means[lot] / n
	}
	return level{mean: m / w, variance: 1/w + sq(lotSD)}
}

// of is a lot's level under one guess.
func (g guess) of(lot string) level {
	if lv, ok := g.lots[lot]; ok {
		return lv
	}
	return g.fresh
}

// outcome is what a jig is expected to give for the next bar of a lot.
type outcome struct {
	tip    float64 // mean, mm
	sd     float64 // for one bar, mm
	system float64 // the part that all bars of the lot share, mm
}

// predict gives the tip-to-tip of the next bar of a lot on a jig, and its uncertainty without the reading's.
func (l learned) predict(face float64, lot string) outcome {
	kj := 1 / (face + l.Diameter/2)
	var m, m2, sys float64
	for _, g := range l.guesses {
		lv := g.of(lot)
		t := l.tip(l.spring(kj, lv.mean, g.e))
		const d = 0.002
		slope := (l.tip(l.spring(kj, lv.mean+d, g.e)) - l.tip(l.spring(kj, lv.mean-d, g.e))) / (2 * d)
		v := lv.variance
		if lv.bars == 0 || math.Abs(lv.face-face) > 1e-6*face {
			v += sq(rebuildSD)
		}
		m += g.weight * t
		m2 += g.weight * (t*t + sq(slope)*(v+sq(l.bar)))
		sys += g.weight * (t*t + sq(slope)*v)
	}
	return outcome{tip: m, sd: math.Sqrt(math.Max(m2-m*m, 0)), system: math.Sqrt(math.Max(sys-m*m, 0))}
}

// jig gives the face radius that brings the next bar of a lot to a tip-to-tip, with its uncertainty.
func (l learned) jig(tip float64, lot string) (face, u float64, err error) {
	kf, err := l.curvature(tip)
	if err != nil {
		return 0, 0, err
	}
	var m, m2 float64
	for _, g := range l.guesses {
		lv := g.of(lot)
		f := 1/l.jigFor(kf, lv.mean, g.e) - l.Diameter/2
		const d = 0.002
		slope := (1/l.jigFor(kf, lv.mean+d, g.e) - 1/l.jigFor(kf, lv.mean-d, g.e)) / (2 * d)
		m += g.weight * f
		m2 += g.weight * (f*f + sq(slope)*lv.variance)
	}
	return m, math.Sqrt(math.Max(m2-m*m, 0)), nil
}

// springConstant is fy/(E d) as it acts in a lot, with its standard uncertainty, 1/mm.
func (l learned) springConstant(lot string) (c, u float64) {
	grade := 1 / (2 * l.yieldRadius())
	var m, m2 float64
	for _, g := range l.guesses {
		lv := g.of(lot)
		x := math.Exp(lv.mean) * grade
		m += g.weight * x
		m2 += g.weight * (x*x + sq(x)*lv.variance)
	}
	return m, math.Sqrt(math.Max(m2-m*m, 0))
}
