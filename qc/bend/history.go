package bend

import "math"

// run is the work done on a rib in one direction since it was last worked the other way or wrapped.
type run struct {
	direction
	turned bool    // the rib had been pulled the other way before
	base   float64 // tip-to-tip where the run began, mm
	been   pulledBar
	pulls  int
	idle   int // of them, that went no farther than one before
}

// history is what happened to one rib since it was last wrapped.
type history struct {
	free float64 // tip-to-tip as it came off the jig
	now  float64 // best estimate of the tip-to-tip now: readings and the laws' forecasts together
	u    float64
	last run
	n    int     // pulls
	miss float64 // the last pull's outcome less its forecast, in standard deviations of both
	off  float64 // the same, mm
}

// runOf is the run that another pull in this direction would continue, or a fresh one.
func (h history) runOf(d direction) run {
	if h.n > 0 && h.last.direction == d {
		return h.last
	}
	return run{direction: d, turned: h.n > 0, base: h.now}
}

// knowledge is everything the bars and pulls so far say, for one rib.
type knowledge struct {
	learned
	laws  [2][2]law // by direction, then whether the rib was pulled the other way before
	floor float64   // the closest that hands bring the tips, where pulls keep ending there; else -Inf
	history
}

// law is the one that a run follows.
func (k *knowledge) law(r run) *law {
	if r.turned {
		return &k.laws[r.direction][1]
	}
	return &k.laws[r.direction][0]
}

// directionOf is which way a pull went; ok is false for one that moved nothing.
func directionOf(p Pull) (d direction, ok bool) {
	switch {
	case p.Loaded > p.Before:
		return opening, true
	case p.Loaded < p.Before:
		return closing, true
	default:
		return 0, false
	}
}

func (o Order) know(s State, tests []Test, pulls []Pull, u float64) knowledge {
	k := knowledge{learned: o.learn(tests)}
	sc := o.scaleOf(k.learned, s.Lot, s.Face)
	join := 4*u + 10
	type key struct{ lot, rib string }
	type track struct {
		run
		last float64
	}
	var seen [2][2][]pullSeen
	ribs := map[key]*track{}
	scales := map[string]scale{s.Lot: sc}
	for _, p := range pulls {
		d, ok := directionOf(p)
		if !ok {
			continue
		}
		id := key{p.Lot, p.Rib}
		t := ribs[id]
		if t == nil || math.Abs(p.Before-t.last) > join {
			t = &track{run: run{direction: d, base: p.Before}}
			ribs[id] = t
		} else if d != t.direction {
			t.run = run{direction: d, turned: true, base: p.Before}
		}
		t.last = p.After
		x := p.Loaded
		if d == opening {
			x -= t.base
		}
		if t.been.some && !farther(d, x, t.been.at) {
			continue
		}
		if _, known := scales[p.Lot]; !known {
			scales[p.Lot] = o.scaleOf(k.learned, p.Lot, k.faceOf(p.Lot, s.Face))
		}
		b := pulledBar{at: x, set: p.After - t.base, u: math.Sqrt2 * u, some: true, scale: scales[p.Lot]}
		if d == closing {
			b.set = -b.set
		}
		turned := 0
		if t.turned {
			turned = 1
		}
		seen[d][turned] = append(seen[d][turned], pullSeen{t.been, b})
		t.been = b
	}
	for d := range k.laws {
		for turned := range k.laws[d] {
			k.laws[d][turned] = learnLaw(direction(d), turned == 1, sc, seen[d][turned])
		}
	}
	k.floor = closest(pulls, join)
	k.history = k.follow(s, pulls, u)
	return k
}

// closest is where closing pulls end again and again whatever is asked for: legs that meet, arms that are
// short. Pulls that are free to go where they are told differ.
func closest(pulls []Pull, join float64) float64 {
	lowest, n := math.Inf(1), 0
	for _, p := range pulls {
		lowest = math.Min(lowest, p.Loaded)
	}
	for _, p := range pulls {
		if p.Loaded < lowest+join/2 && p.After > p.Before-join {
			n++
		}
	}
	if n < 3 {
		return math.Inf(-1)
	}
	return lowest
}

func farther(d direction, x, than float64) bool {
	if d == opening {
		return x > than
	}
	return x < than
}

// faceOf is the jig that a lot's bars were last bent on.
func (l learned) faceOf(lot string, otherwise float64) float64 {
	if lv, ok := l.main().lots[lot]; ok && lv.face > 0 {
		return lv.face
	}
	return otherwise
}

// scaleOf gives the section rules' own pulls for the reference set, at the constant learned.
func (o Order) scaleOf(l learned, lot string, face float64) scale {
	lv := l.main().of(lot)
	j := Job{
		Bar:    Bar{Diameter: o.Diameter, Modulus: o.Modulus, Yield: math.Exp(lv.mean) * o.GradeYield, Hardening: 0.01 * o.Modulus},
		Loaded: face + o.Diameter/2, Leg: o.Leg, Arc: o.Arc,
	}
	onJig := o.tip(1 / j.Loaded)
	sc := scale{free: l.predict(face, lot).tip}
	free, err := j.released()
	if err == nil {
		sc.free = free.TipToTip()
	}
	// Outside the section model the jig's own spacing gives the size: see the table of whole ribs.
	travel := math.Max(sc.free-onJig, 50)
	sc.open, sc.close = 0.35*travel, sc.free-0.93*travel
	if err != nil {
		return sc
	}
	// A jig of more than a full turn is no matter here: the rib is off it.
	on, err := j.onset(free, coarse)
	if err != nil {
		return sc
	}
	if r, err := j.pull(on, -setRef, coarse); err == nil {
		sc.open = -r.Travel
	}
	if r, err := j.pull(on, setRef, coarse); err == nil {
		sc.close = r.TipLoaded
	}
	return sc
}

// follow traces the rib since its last wrap, joining each reading with the law's forecast.
func (k knowledge) follow(s State, pulls []Pull, u float64) history {
	join := 4*u + 10
	var chain []Pull
	for _, p := range pulls {
		if p.Lot != s.Lot || p.Rib != s.Rib {
			continue
		}
		if len(chain) > 0 && math.Abs(p.Before-chain[len(chain)-1].After) > join {
			chain = nil
		}
		chain = append(chain, p)
	}
	h := history{free: s.Tip, now: s.Tip, u: u}
	if len(chain) == 0 || math.Abs(chain[len(chain)-1].After-s.Tip) > join {
		return h
	}
	h.free, h.now = chain[0].Before, chain[0].Before
	for _, p := range chain {
		d, ok := directionOf(p)
		if !ok {
			continue
		}
		r := h.runOf(d)
		h.n++
		r.pulls++
		forecast, sd := h.now, h.u // inside what it has seen nothing sets
		x, sign, l := p.Loaded, -1.0, k.law(r)
		if d == opening {
			x, sign = p.Loaded-r.base, 1
		}
		if !r.been.some || farther(d, x, r.been.at) {
			m, e := l.at(x, r.been)
			forecast, sd = r.base+sign*m, math.Hypot(h.u, math.Max(e, 2))
			r.been.at, r.been.some = x, true
		} else {
			r.idle++
		}
		h.off = p.After - forecast
		h.miss = h.off / math.Hypot(sd, u)
		w := 1 / (1 + sq(sd/u))
		h.now = w*forecast + (1-w)*p.After
		h.u = 1 / math.Sqrt(1/sq(sd)+1/sq(u))
		r.been.set, r.been.u = sign*(h.now-r.base), math.Hypot(u, h.u)
		h.last = r
	}
	if s.Tip != chain[len(chain)-1].After {
		// Laid down and read once more: a second opinion on the same rib.
		w := 1 / (1 + sq(h.u/(1.2*u)))
		h.now = w*h.now + (1-w)*s.Tip
		h.u = 1 / math.Sqrt(1/sq(h.u)+1/sq(1.2*u))
	}
	return h
}
