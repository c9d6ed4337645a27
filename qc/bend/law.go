package bend

import "math"

// A pull has two laws, one to each direction, each a curve of set over pull with two unknowns that are
// learned from every pull of the order. Both are measured against the section rules' own pull for a
// reference set, at the constant learned, so that they carry over between lots and jigs.
//
// Opening: x is the spread of the tips beyond their free spacing, S = setRef (x/xRef)^q. A section that yields
// backwards as sharply as it did forwards has xRef as the section rules give it and a high power; steel
// that softens on reversal (the Bauschinger effect: Menegotto and Pinto 1973, Dodd and Restrepo 1995)
// sets from the first millimetre, with a small xRef and a power near one. The ratio of xRef to the rules'
// value carries most of the power with it; one factor remains free.
//
// Closing: x is how far the loaded spacing lies below that of the reference set, S = w ln(1 + exp((x + x0)/w)) with
// S(0) = setRef: nothing until the tips are nearly back at their spacing on the jig, then nearly mm for mm. It
// depends on the loaded spacing itself, since the crown sets once it is back at the curvature of the
// jig, whatever the bar. The travel's ratio to the rules' value carries most of the roundness w.
type direction int

const (
	opening direction = iota
	closing
)

// Three things are kept apart, because steels differ in what they remember of a reversal: the first pull
// of a rib in one direction, which is what the laws above describe; a further pull the same way, which
// adds a share of what the law would add (all of it where the closed loop is forgotten, as Masing's rule
// has it; little where release and reload stiffen the bar); and a pull after one the other way, which has
// a law of its own kind learned from such pulls only.
const (
	againMean   = 0.75
	againSD     = 0.35
	againBar    = 0.2  // scatter of one further pull about the share
	againWhole  = 10.0 // mm of set after which a further pull no longer counts as a first one
	againShares = 6
	againLow    = 0.05
	againStep   = 0.25
)

const (
	setRef       = 40.0  // mm
	lawBarSD     = 0.06  // scatter of the set from bar to bar, relative
	lawBarWeight = 4.0   // pulls' worth of belief in it
	lawStartSD   = 0.005 // scatter of where closing begins to set, as a share of the travel to there
	lawRatios    = 36
	lawFactors   = 7
	factorStep   = 0.12 // of the power
	factorSD     = 0.15
	roundStep    = 0.25 // of ln w
	roundSD      = 0.4
	openLow      = 0.04
	openHigh     = 1.3
	openCentre   = 0.33
	openSD       = 0.65
	closeLow     = 0.5
	closeHigh    = 1.1
	closeCentre  = 0.93
	closeSD      = 0.08

	// After a pull the other way: opening is anything from as before to elastic again, closing starts early.
	openTurnedCentre  = 0.5
	openTurnedSD      = 0.8
	closeTurnedCentre = 0.80
	closeTurnedSD     = 0.15
)

// openPower is the power that goes with a ratio, read off section models from sharp to soft reversal.
func openPower(ratio float64) float64 { return 1.02 + 1.1*ratio + 2.3*sq(ratio) }

// closeRound is the roundness over the travel that goes with a ratio, from the same models.
func closeRound(ratio float64) float64 { return 0.022 + 0.3*math.Max(0, 1-ratio) }

// scale is what the section rules give for the bars and the jig in hand.
type scale struct {
	open  float64 // spread that sets setRef, mm
	free  float64 // free spacing expected off the jig, mm
	close float64 // loaded spacing that sets setRef, mm
}

// law is a weighted grid over one direction's two unknowns and the share that further pulls add.
type law struct {
	direction
	turned bool
	scale
	weight [lawRatios][lawFactors][againShares]float64
	sum    [lawRatios][lawFactors]float64
	bar    float64 // scatter of the set from bar to bar, relative
	seen   int     // pulls that set something
	most   float64 // the largest set among them, mm
}

func (l *law) ratio(i int) float64 {
	lo, hi := openLow, openHigh
	if l.direction == closing {
		lo, hi = closeLow, closeHigh
	}
	return lo * math.Pow(hi/lo, float64(i)/(lawRatios-1))
}

// set is the set at a grid point: of a spread from the free spacing when opening, of a loaded spacing
// when closing. sc is the scale of the bar that was pulled.
func (l *law) set(i, j int, sc scale, x float64) float64 {
	r, f := l.ratio(i), float64(j-lawFactors/2)
	if l.direction == opening {
		if x <= 0 {
			return 0
		}
		return setRef * math.Pow(x/(r*sc.open), openPower(r)*(1+factorStep*f))
	}
	w := l.round(i, j, sc)
	x0 := w * math.Log(math.Expm1(setRef/w))
	z := (sc.free - l.ratio(i)*(sc.free-sc.close) - x + x0) / w
	if z > 30 {
		return w * z
	}
	return w * math.Log1p(math.Exp(z))
}

// round is the width over which closing begins to set, mm.
func (l *law) round(i, j int, sc scale) float64 {
	return (sc.free - sc.close) * closeRound(l.ratio(i)) * math.Exp(roundStep*float64(j-lawFactors/2))
}

// scatter is the standard deviation of a set of s from bar to bar.
func (l *law) scatter(i, j int, sc scale, s float64) float64 {
	v := l.bar * s
	if l.direction == opening {
		return v
	}
	steep := -math.Expm1(-s / l.round(i, j, sc))
	return math.Hypot(v, lawStartSD*(sc.free-sc.close)*steep)
}

// share is what a further pull adds of the law's own, by the set that the law had for the one before.
func share(n int, before float64) float64 {
	a := againLow + againStep*float64(n)
	return 1 - (1-a)*before/(before+againWhole)
}

func (l *law) prior(i, j int) float64 {
	f := float64(j - lawFactors/2)
	centre, sd, side := openCentre, openSD, factorStep*f/factorSD
	switch {
	case l.direction == opening && l.turned:
		centre, sd = openTurnedCentre, openTurnedSD
	case l.direction == closing && l.turned:
		centre, sd, side = closeTurnedCentre, closeTurnedSD, roundStep*f/roundSD
	case l.direction == closing:
		centre, sd, side = closeCentre, closeSD, roundStep*f/roundSD
	}
	return -sq(math.Log(l.ratio(i)/centre)/sd)/2 - sq(side)/2
}

// pulledBar is the work done on one bar in one direction: the farthest pull so far and all that it set.
type pulledBar struct {
	at   float64 // spread from the free spacing (opening) or loaded spacing (closing), mm
	set  float64 // mm, in the direction of the pull
	u    float64 // standard uncertainty of set from the readings, mm
	some bool
	scale
}

// pullSeen is a pull with what had been done to the bar in its direction before.
type pullSeen struct{ before, after pulledBar }

// learnLaw weighs the grid by every pull seen, then again with the scatter from bar to bar that this shows.
func learnLaw(d direction, turned bool, sc scale, pulls []pullSeen) law {
	l := weigh(d, turned, sc, pulls, lawBarSD)
	ss, n := lawBarWeight*sq(lawBarSD), lawBarWeight
	for _, o := range pulls {
		if o.before.some || o.after.set < 5*o.after.u {
			continue
		}
		of := l
		of.scale = o.after.scale
		m, _ := of.at(o.after.at, pulledBar{})
		if m < 5*o.after.u {
			continue
		}
		r := (sq(o.after.set-m) - sq(o.after.u)) / sq(m)
		ss, n = ss+math.Min(math.Max(r, 0), 0.04), n+1
	}
	if n < lawBarWeight+3 {
		return l
	}
	return weigh(d, turned, sc, pulls, math.Min(math.Max(math.Sqrt(ss/n), 0.02), 0.15))
}

func weigh(d direction, turned bool, sc scale, pulls []pullSeen, bar float64) law {
	l := law{direction: d, turned: turned, scale: sc, bar: bar}
	best := math.Inf(-1)
	for i := range lawRatios {
		for j := range lawFactors {
			w := l.prior(i, j)
			for n := range againShares {
				l.weight[i][j][n] = w - sq((againLow+againStep*float64(n)-againMean)/againSD)/2
			}
			for _, o := range pulls {
				s, had := l.set(i, j, o.after.scale, o.after.at), 0.0
				if o.before.some {
					had = l.set(i, j, o.after.scale, o.before.at)
				}
				sd := l.scatter(i, j, o.after.scale, s)
				for n := range againShares {
					more, v := s, sq(o.after.u)+1
					if o.before.some {
						more = share(n, had) * math.Max(0, s-had)
						v += sq(sd*more/math.Max(s, 1)) + sq(againBar*more)
					} else {
						v += sq(sd)
					}
					// Heavy tails: a slip or a mis-read pull must not bend the law.
					l.weight[i][j][n] -= 2.5*math.Log1p(sq(o.after.set-o.before.set-more)/(4*v)) + math.Log(v)/2
				}
			}
			for n := range againShares {
				best = math.Max(best, l.weight[i][j][n])
			}
		}
	}
	total := 0.0
	for i := range l.weight {
		for j := range l.weight[i] {
			for n, w := range l.weight[i][j] {
				w = math.Exp(w - best)
				l.weight[i][j][n] = w
				l.sum[i][j] += w
				total += w
			}
		}
	}
	for i := range l.weight {
		for j := range l.weight[i] {
			l.sum[i][j] /= total
			for n := range l.weight[i][j] {
				l.weight[i][j][n] /= total
			}
		}
	}
	for _, o := range pulls {
		if set := o.after.set - o.before.set; set > 3*o.after.u {
			l.seen++
			l.most = math.Max(l.most, set)
		}
	}
	return l
}

// at gives mean and standard deviation of the set that a pull to x leaves on a bar that has been pulled
// as far as been in this direction. The bar's own set so far is kept, and the law adds to it.
func (l *law) at(x float64, been pulledBar) (mean, sd float64) {
	var m, m2 float64
	for i := range l.weight {
		for j, w := range l.sum[i] {
			if w < 1e-9 {
				continue
			}
			s := l.set(i, j, l.scale, x)
			bar := l.scatter(i, j, l.scale, s)
			if !been.some {
				m += w * s
				m2 += w * (s*s + sq(bar))
				continue
			}
			had := l.set(i, j, l.scale, been.at)
			for n, w := range l.weight[i][j] {
				more := share(n, had) * math.Max(0, s-had)
				t := been.set + more
				m += w * t
				m2 += w * (t*t + sq(bar*more/math.Max(s, 1)) + sq(againBar*more))
			}
		}
	}
	return m, math.Sqrt(math.Max(m2-m*m, 0))
}

// pullFor finds the pull whose set is expected to be want, held back so that want+slack is exceeded by no
// more than so many standard deviations. It searches from one end of the range (no set) to the other.
func (l *law) pullFor(want, slack, hold, from, to float64, been pulledBar) (x, mean, sd float64) {
	over := func(x float64) bool {
		m, s := l.at(x, been)
		return m > want || m+hold*s > want+slack
	}
	for range 40 {
		mid := (from + to) / 2
		if over(mid) {
			to = mid
		} else {
			from = mid
		}
	}
	mean, sd = l.at(from, been)
	return from, mean, sd
}
