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
	againMean = 0.75
	againSD   = 0.35
	againBar  = 0.25 // scatter of one further pull about the share
)

const (
	setRef      = 40.0 // mm
	lawBarSD    = 0.06 // scatter of the set from bar to bar, relative
	lawRatios   = 36
	lawFactors  = 7
	factorStep  = 0.12 // of the power
	factorSD    = 0.15
	roundStep   = 0.25 // of ln w
	roundSD     = 0.4
	openLow     = 0.04
	openHigh    = 1.3
	openCentre  = 0.33
	openSD      = 0.65
	closeLow    = 0.5
	closeHigh   = 1.1
	closeCentre = 0.93
	closeSD     = 0.08

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

// law is a weighted grid over one direction's two unknowns.
type law struct {
	direction
	turned bool
	scale
	again, uAgain float64
	weight        [lawRatios][lawFactors]float64
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
	travel := sc.free - sc.close
	w := travel * closeRound(r) * math.Exp(roundStep*f)
	x0 := w * math.Log(math.Expm1(setRef/w))
	z := (sc.free - r*travel - x + x0) / w
	if z > 30 {
		return w * z
	}
	return w * math.Log1p(math.Exp(z))
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

// pullAgain is a further pull in the same direction: what was set before it, and after.
type pullAgain struct{ before, after pulledBar }

// learnLaw weighs the grid by every first pull seen, then the share that further pulls add.
func learnLaw(d direction, turned bool, sc scale, first []pulledBar, again []pullAgain) law {
	l := law{direction: d, turned: turned, scale: sc}
	best := math.Inf(-1)
	for i := range lawRatios {
		for j := range lawFactors {
			w := l.prior(i, j)
			for _, o := range first {
				s := l.set(i, j, o.scale, o.at)
				v := sq(o.u) + sq(lawBarSD*s) + 1
				// Heavy tails: a slip or a mis-read pull must not bend the law.
				w -= 2.5*math.Log1p(sq(o.set-s)/(4*v)) + math.Log(v)/2
			}
			l.weight[i][j] = w
			best = math.Max(best, w)
		}
	}
	total := 0.0
	for i := range l.weight {
		for j := range l.weight[i] {
			l.weight[i][j] = math.Exp(l.weight[i][j] - best)
			total += l.weight[i][j]
		}
	}
	for i := range l.weight {
		for j := range l.weight[i] {
			l.weight[i][j] /= total
		}
	}
	m, w := againMean/sq(againSD), 1/sq(againSD)
	for _, o := range again {
		added := 0.0
		for i := range l.weight {
			for j, p := range l.weight[i] {
				if p > 1e-9 {
					added += p * math.Max(0, l.set(i, j, o.after.scale, o.after.at)-l.set(i, j, o.after.scale, o.before.at))
				}
			}
		}
		if added < 1 {
			continue
		}
		share := math.Min(math.Max((o.after.set-o.before.set)/added, -0.5), 2)
		v := sq(againBar) + sq(o.after.u/added)
		m, w = m+share/v, w+1/v
	}
	l.again, l.uAgain = math.Max(m/w, 0.05), math.Sqrt(1/w+sq(againBar))
	return l
}

// at gives mean and standard deviation of the set that a pull to x leaves on a bar that has been pulled
// as far as been in this direction. The bar's own set so far is kept, and the law adds to it.
func (l *law) at(x float64, been pulledBar) (mean, sd float64) {
	var m, m2 float64
	for i := range l.weight {
		for j, w := range l.weight[i] {
			if w < 1e-9 {
				continue
			}
			s := l.set(i, j, l.scale, x)
			v := sq(lawBarSD * s)
			if been.some {
				more := math.Max(0, s-l.set(i, j, l.scale, been.at))
				s = been.set + l.again*more
				v = sq(l.uAgain * more)
			}
			m += w * s
			m2 += w * (s*s + v)
		}
	}
	return m, math.Sqrt(math.Max(m2-m*m, 0))
}

// pullFor finds the pull whose set is expected to be want, held back so that want+slack is exceeded in
// no more than about one pull in eight. It searches from one end of the range (no set) to the other.
func (l *law) pullFor(want, slack, from, to float64, been pulledBar) (x, mean, sd float64) {
	over := func(x float64) bool {
		m, s := l.at(x, been)
		return m > want || m+1.15*s > want+slack
	}
	for range 50 {
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
