package bend

import (
	"fmt"
	"math"

	"springline/qc/arch"
)

// Action is what to do with a rib next.
type Action string

const (
	None      Action = "none"
	Remeasure Action = "remeasure"
	Open      Action = "open"
	Close     Action = "close"
	Rewrap    Action = "rewrap"
	Kink      Action = "kink"
	Refuse    Action = "refuse"
)

// State is a rib on the bench with its limits, mm at the centreline. Crown limits may be infinite.
type State struct {
	Lot, Rib               string
	Face                   float64 // jig face radius the rib was last wrapped on
	TipLower, TipUpper     float64
	CrownLower, CrownUpper float64
	Tip, Crown             float64
	UTip, UCrown           float64
}

// Correction is the next action with what it should give.
type Correction struct {
	Action         Action
	TipLoaded      float64 // open, close: spacing to reach before letting go, mm
	Face           float64 // rewrap: jig face radius, mm
	Place          string  // kink: crown, quarter or shoulder
	KinkDeg        float64 // kink: turn of each kink of the pair, degrees; positive closes
	Expected, UExp float64 // tip-to-tip afterwards, mm, and its standard uncertainty
	Reason         string
	CrownOut       bool // none: the tips are right, but the crown is outside its limits and nothing here mends it
	Slip           bool // the last pull's outcome does not fit what is known of this steel
}

// Check refuses a rib that cannot be.
func (s State) Check(o Order) error {
	long := o.Arc + 2*o.Leg
	for _, err := range []error{
		arch.CheckPositive("jig_face_radius_mm", s.Face), arch.CheckFinite("tip_to_tip_mm", s.Tip), arch.CheckFinite("tip_lower_mm", s.TipLower),
		arch.CheckFinite("tip_upper_mm", s.TipUpper), arch.CheckNotNegative("u_tip_mm", s.UTip), arch.CheckNotNegative("u_crown_mm", s.UCrown),
		arch.CheckFinite("crown_height_mm", s.Crown),
	} {
		if err != nil {
			return err
		}
	}
	if s.TipLower >= s.TipUpper {
		return arch.Refuse("out_of_range", "tip_upper_mm", "is %g, not above the lower limit of %g", s.TipUpper, s.TipLower)
	}
	if !(s.CrownLower < s.CrownUpper) {
		return arch.Refuse("out_of_range", "crown_upper_mm", "is %g, not above the lower limit of %g", s.CrownUpper, s.CrownLower)
	}
	if s.TipLower >= long || s.TipUpper <= -2*o.Leg {
		return arch.Refuse("out_of_range", "tip_lower_mm", "and the upper limit of %g leave no spacing that a bar of %g can have",
			s.TipUpper, long)
	}
	if math.Abs(s.Tip) > long {
		return arch.Refuse("out_of_range", "tip_to_tip_mm", "is %g; the bar is only %g long", s.Tip, long)
	}
	if c := math.Hypot(s.Tip/2, s.Crown); c > long/2*1.05+5*(s.UCrown+s.UTip) {
		return arch.Refuse("out_of_range", "crown_height_mm",
			"is %g with a tip-to-tip of %g: crown and tip would be %.0f apart on a half bar of %g", s.Crown, s.Tip, c, long/2)
	}
	return nil
}

// Correct says what to do with a rib, from its readings, the bars so far and every pull so far.
func (o Order) Correct(s State, tests []Test, pulls []Pull) (Correction, error) {
	if err := o.Check(); err != nil {
		return Correction{}, err
	}
	if err := s.Check(o); err != nil {
		return Correction{}, err
	}
	if err := o.checkTests(tests, pulls); err != nil {
		return Correction{}, err
	}
	u := math.Max(s.UTip, 0.3)
	half, mid := (s.TipUpper-s.TipLower)/2, (s.TipUpper+s.TipLower)/2
	if u > half && fresh(s, tests, pulls) {
		return Correction{Action: Remeasure, Expected: s.Tip, UExp: u,
			Reason: fmt.Sprintf("the tip-to-tip is only known to ±%.1f mm, too coarse for limits of "+
				"±%.1f mm: lift the rib, lay it again and read again", 2*u, half)}, nil
	}
	k := o.know(s, tests, pulls, u)
	return o.choose(s, k, mid, half), nil
}

// fresh says that the reading may still be the first one of the rib as it stands: asking for another helps
// once, and not for ever.
func fresh(s State, tests []Test, pulls []Pull) bool {
	known := false
	for _, p := range pulls {
		if p.Lot == s.Lot && p.Rib == s.Rib {
			known = true
			if p.After == s.Tip {
				return true
			}
		}
	}
	for _, t := range tests {
		known = known || t.Lot == s.Lot
		if t.Lot == s.Lot && t.Tip == s.Tip {
			return true
		}
	}
	return !known
}

// How sure the tip-to-tip must be inside its limits to leave a rib alone. A rib that is too open is left
// sooner: closing takes the longer way and may have to be undone.
const (
	sureClosed = 0.9
	sureOpen   = 0.85
)

func (o Order) choose(s State, k knowledge, mid, half float64) Correction {
	h := k.history
	dev := h.now - mid
	in := probability(dev, half, h.u)
	sure := sureClosed
	if dev > 0 {
		sure = sureOpen
	}
	// A reading that stays too coarse cannot make anything sure: then the likelier side of the limit decides.
	sure = math.Min(sure, 0.9*probability(0, half, h.u))
	var c Correction
	switch {
	case in >= sure:
		c = o.crownOr(s, Correction{Action: None, Expected: h.now, UExp: h.u,
			Reason: fmt.Sprintf("tip-to-tip is %.0f mm from the middle of its limits; inside with %.0f %% confidence", dev, 100*in)})
	case dev < 0:
		c = o.open(s, k, mid, half)
	default:
		c = o.tighten(s, k, mid, half)
	}
	if math.Abs(h.miss) > 3.5 && math.Abs(h.off) > half/2 {
		c.Slip = true
		c.Reason += fmt.Sprintf("; the last pull left the tips %.0f mm from where it should have: look "+
			"for a slip, a mis-read spacing or a bar from another lot", math.Abs(h.off))
	}
	return c
}

// probability that a value known to u lies within half of the middle.
func probability(dev, half, u float64) float64 {
	p := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	return p((half-dev)/u) - p((-half-dev)/u)
}

func (o Order) open(s State, k knowledge, mid, half float64) Correction {
	h, long := k.history, o.Arc+2*o.Leg
	r := h.runOf(opening)
	law := k.law(r)
	// Never more than a little beyond what has been seen: laws stretch badly.
	want := math.Min(mid-r.base, h.now-r.base+math.Max(10*half, 3*law.most))
	x, m, sd := law.pullFor(want, 0.75*half, openHold(law.seen), r.been.at, long, r.been)
	loaded := math.Round(r.base + x)
	if loaded > 0.97*long {
		return Correction{Action: Refuse, Expected: h.now, UExp: h.u,
			Reason: "the rib is so far closed that the tips would have to be spread to the whole length of the bar: make it anew"}
	}
	loaded = math.Max(loaded, math.Ceil(s.Tip+1))
	return Correction{
		Action: Open, TipLoaded: loaded, Expected: r.base + m, UExp: math.Hypot(sd, h.u),
		Reason: fmt.Sprintf("the tips stand %.0f mm too close: spread them to %.0f mm, let go and measure again", mid-h.now, loaded),
	}
}

// openHold is how many standard deviations of an opening pull must stay below its limit. The first pulls of
// an order feel their way: too little costs one more pull, too much has to be closed again.
func openHold(seen int) float64 { return 1.25 + 0.7/float64(1+seen) }

// Closing may overshoot: a rib that ends too closed is opened with ease.
const (
	closeHold  = 0.8
	closePast  = 0.4 // of the half width of the limits, aimed past the middle
	closePulls = 5   // in a row, then the bar is wrapped again
)

// tighten brings a rib that is too open back: by closing the tips beyond their spacing on the jig, or,
// when that is out of reach or gets nowhere, by wrapping it again.
func (o Order) tighten(s State, k knowledge, mid, half float64) Correction {
	h := k.history
	r := h.runOf(closing)
	from, to := s.Tip, math.Max(-2*o.Leg, k.floor)
	if r.been.some {
		from = r.been.at
	}
	x, m, sd := k.law(r).pullFor(r.base-mid+closePast*half, 1.5*half, closeHold, from, to, r.been)
	loaded := math.Round(x)
	stuck := r.pulls >= closePulls || r.idle > 0
	if !stuck && loaded > to+1 && h.now-mid < 0.25*k.law(r).free {
		c := Correction{
			Action: Close, TipLoaded: math.Min(loaded, math.Floor(s.Tip-1)), Expected: r.base - m, UExp: math.Hypot(sd, h.u),
			Reason: fmt.Sprintf("the tips stand %.0f mm too wide: bring them to %.0f mm, let go and measure again", h.now-mid, loaded),
		}
		if c.TipLoaded < 0 {
			c.Reason = fmt.Sprintf("the tips stand %.0f mm too wide: cross the legs, one above the other, until "+
				"the tips are %.0f mm past each other, let go and measure again", h.now-mid, -loaded)
		}
		return c
	}
	face, u, err := o.rewrapFace(s, k.learned, h, mid-closePast*half)
	if err != nil || face <= 0 {
		return Correction{Action: Refuse, Expected: h.now, UExp: h.u,
			Reason: "the tips stand too wide and no tighter jig can be worked out from the readings: check them"}
	}
	return Correction{
		Action: Rewrap, Face: face, Expected: mid - closePast*half, UExp: u,
		Reason: fmt.Sprintf("the tips stand %.0f mm too wide, more than a pull can bring back: "+
			"wrap the same bar again on a face radius of %.1f mm", h.now-mid, face),
	}
}

// rewrapFace is the jig for this very bar: its own constant from its own springback, leaning on the lot
// only as far as the reading is uncertain.
func (o Order) rewrapFace(s State, l learned, h history, goal float64) (face, u float64, err error) {
	kf, err := o.curvature(h.free)
	if err != nil {
		return 0, 0, err
	}
	kf1, err := o.curvature(h.free - 1)
	if err != nil {
		return 0, 0, err
	}
	want, err := o.curvature(goal)
	if err != nil {
		return 0, 0, err
	}
	kj := 1 / (s.Face + o.Diameter/2)
	var m, m2, weight float64
	for _, g := range l.guesses {
		z, ok := o.constant(kj, kf, g.e)
		z1, ok1 := o.constant(kj, kf1, g.e)
		if !ok || !ok1 {
			continue
		}
		lv := g.of(s.Lot)
		prior, reading := lv.variance+sq(l.bar), sq((z-z1)*math.Max(s.UTip, 0.3))
		gain := prior / (prior + reading)
		z = lv.mean + gain*(z-lv.mean)
		f := 1/o.jigFor(want, z, g.e) - o.Diameter/2
		weight += g.weight
		m += g.weight * f
		m2 += g.weight * f * f
	}
	if weight == 0 {
		return 0, 0, arch.Refuse("no_shape", "tip_to_tip_mm", "says nothing about this bar's springback")
	}
	m /= weight
	sd := math.Sqrt(math.Max(m2/weight-m*m, 0))
	slope := math.Abs(l.predict(m+0.5, s.Lot).tip - l.predict(m-0.5, s.Lot).tip)
	return m, math.Sqrt(sq(sd*slope) + sq(s.UTip) + sq(slope*0.3)), nil
}

// crownOr looks at the crown of a rib whose tips are right: a kink pair that brings both inside, or
// nothing to do.
func (o Order) crownOr(s State, none Correction) Correction {
	uc := math.Max(s.UCrown, 0.3)
	if s.Crown >= s.CrownLower-2*uc && s.Crown <= s.CrownUpper+2*uc {
		return none
	}
	best := none
	want := math.Min(math.Max(s.Crown, s.CrownLower), s.CrownUpper) - s.Crown
	p := o.rib(1 / o.Wanted).Curve().Place()
	gap := math.Inf(1)
	for _, k := range []struct {
		place string
		at    float64 // share of the half arc from the crown
	}{{"crown", 0}, {"quarter", 0.5}, {"shoulder", 1}} {
		q := p.At(p.Length()/2 + k.at*o.Arc/2)
		// dT = -2 h delta, dH = (T/2 - X) delta for a pair of kinks of delta at height h.
		dh := p.TipToTip()/2 - q.X
		if math.Abs(dh) < 1e-9 {
			continue
		}
		delta := want / dh
		tip := none.Expected - 2*q.Y*delta
		if math.Abs(delta) > 0.1 || tip < s.TipLower+none.UExp || tip > s.TipUpper-none.UExp {
			continue
		}
		if d := math.Abs(tip - (s.TipLower+s.TipUpper)/2); d < gap {
			gap = d
			best = Correction{Action: Kink, Place: k.place, KinkDeg: delta * 180 / math.Pi, Expected: tip, UExp: none.UExp,
				Reason: fmt.Sprintf("the tips are right but the crown is %.0f mm off: a pair of "+
					"kinks over one block at the %s brings both inside", -want, k.place)}
		}
	}
	if best.Action == None {
		best.CrownOut = true
		best.Reason = fmt.Sprintf("the tips are right but the crown is %.0f mm outside its limits, and no pair of kinks mends "+
			"it without moving the tips out: the bend is uneven; look at stations or half chords", math.Abs(want))
	}
	return best
}
