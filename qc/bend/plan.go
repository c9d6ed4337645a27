package bend

import (
	"math"

	"springline/qc/arch"
)

// PlanSpec is what a jig is drawn from. Lengths in mm; a yield of 0 leaves the effort out.
type PlanSpec struct {
	Diameter float64 // of the bar
	Face     float64 // radius where the blocks touch the bar
	Leg, Arc float64 // of the bar, along its centreline
	Blocks   int     // 0: as few as keep every gap's bulge within half the bar
	Yield    float64 // as it acts, MPa, for the effort
	// Half lays out one half only, from the middle of the bar to the end of its arc: the bar is bent one
	// half at a time. It is set by [Draw] where the whole arc would be a full turn or nearly.
	Half bool
	// Centre of the arc from the datum corner; nil puts the whole jig Room mm or more inside both edges.
	Centre *[2]float64
	Room   float64
}

// Plan is a jig as it is to be built on a flat floor: everything from one datum corner, X along one
// edge, Y along the other, crown at large Y, leg A on the left.
type Plan struct {
	PlanSpec
	Layout
	Centre       [2]float64
	CentreRadius float64 // of the bar's centreline on the jig
	HalfAngle    float64 // half of what the blocks span, rad
	Channels     []Channel
	Width        float64     // of each leg channel: over the bar's ribs, and clearance
	Play         float64     // angle by which a leg can lie askew in its channel, rad
	Crossing     *[2]float64 // where the legs' centrelines cross, if they do
	TipOnJig     float64     // tip-to-tip of the centreline under load; negative once the legs have crossed
	Pulls        []BlockPull // one to each block; empty without a yield
	Lo, Hi       [2]float64  // box round bar, blocks and channels
}

// Channel is where a straight leg comes to lie: from the last contact along the tangent.
type Channel struct {
	Leg       arch.Leg
	Root, End [2]float64    // on the inside of the bar
	Keepers   [2][2]float64 // contact of the inner keepers, the nearer to the root first
	Outer     [2][2]float64 // contact of the outer keepers, beyond the channel's width
}

// BlockPull is what it takes at the tip to lay the bar against a block: the plastic moment, which is the
// ceiling of the moment on the jig, over the length that is still free.
type BlockPull struct {
	Lever float64 // mm, from the block to the tip
	Force float64 // N; +Inf where no length is left to pull at
	Pipe  float64 // lever that brings the pull down to PullAlone, mm
}

// What one pair of hands can do. PullAlone is the 15 kg filter for an initial pull in HSE Research
// Report 228 (2004), seen in excerpt; PullNever is common practice, no source.
const (
	PullAlone = 150.0 // N
	PullNever = 400.0 // N
)

// Over the ribs a deformed bar is up to 1.13 of its nominal diameter (from memory); 3 mm more lets a
// bar with mill scale in and out (common practice, no source). Keepers stand at a quarter and nine tenths of the
// leg, so that their spacing is 0.65 of it.
const (
	overRibs      = 1.13
	channelSlack  = 3.0
	nearKeeper    = 0.25
	farKeeper     = 0.90
	blockDepth    = 50.0 // room for a block inside the face, mm
	keeperOutside = 40.0
	// A whole turn leaves no room for the legs to come out: beyond this share of it one half is laid out.
	mostTurn = 0.97
	// Stub is how much of the straight rest is drawn beyond the middle of the bar when bending one half.
	Stub = 300.0
)

// Draw works a jig out. Errors are [arch.InputError]; a bar that would spring straight off the jig is
// drawn all the same, see [Bar.LargestFace].
func Draw(s PlanSpec) (Plan, error) {
	for _, err := range []error{arch.CheckPositive("diameter_mm", s.Diameter), arch.CheckPositive("face_radius_mm", s.Face),
		arch.CheckPositive("arc_mm", s.Arc), arch.CheckNotNegative("leg_mm", s.Leg), arch.CheckNotNegative("yield_mpa", s.Yield),
		arch.CheckNotNegative("room_mm", s.Room)} {
		if err != nil {
			return Plan{}, err
		}
	}
	p := Plan{PlanSpec: s, CentreRadius: s.Face + s.Diameter/2, Width: overRibs*s.Diameter + channelSlack}
	p.Half = p.Half || s.Arc > mostTurn*2*math.Pi*p.CentreRadius
	span := s.Arc
	if p.Half {
		span /= 2
	}
	onFace := span * s.Face / p.CentreRadius // the same angle on the smaller radius
	if p.Blocks == 0 {
		p.Blocks = max(3, BlocksFor(s.Face, onFace, s.Diameter/2))
		p.Blocks += 1 - p.Blocks%2 // an odd number puts a block under the crown
	}
	at := func(x, y float64) (err error) {
		p.Centre = [2]float64{x, y}
		leg := s.Leg
		if p.Half {
			leg = 0
		}
		p.Layout, err = LayOut(s.Face, onFace, p.Blocks, x, y, leg, s.Diameter)
		return err
	}
	if err := at(0, 0); err != nil {
		return Plan{}, err
	}
	p.HalfAngle = span / (2 * p.CentreRadius)
	p.place()
	x, y := math.Ceil((s.Room-p.Lo[0])/10)*10, math.Ceil((s.Room-p.Lo[1])/10)*10
	if s.Centre != nil {
		x, y = s.Centre[0], s.Centre[1]
	}
	if err := at(x, y); err != nil {
		return Plan{}, err
	}
	p.place()
	p.TipOnJig = arch.Shape{Radius: p.CentreRadius, Leg: s.Leg, Arc: s.Arc}.TipToTip()
	if along, ok := p.crossing(); ok {
		sin, cos := math.Sincos(p.HalfAngle)
		p.Crossing = &[2]float64{x, y + p.CentreRadius*cos - along*sin}
	}
	if s.Leg > 0 {
		at := p.keepersAt()
		p.Play = math.Atan((p.Width - s.Diameter) / ((at[1] - at[0]) * s.Leg))
	}
	p.pulls()
	return p, nil
}

// crossing is how far along each leg the two cross, mm.
func (p *Plan) crossing() (along float64, ok bool) {
	sin, cos := math.Sincos(p.HalfAngle)
	if p.Half || cos >= 0 {
		return 0, false
	}
	along = -p.CentreRadius * sin / cos
	return along, along < p.Leg
}

// keepersAt are the keepers' places as shares of the leg: where legs cross too near to one, it stands
// nearer to the root or to the tip.
func (p *Plan) keepersAt() [2]float64 {
	at := [2]float64{nearKeeper, farKeeper}
	cross, ok := p.crossing()
	if !ok {
		return at
	}
	const clear = 0.12
	share := cross / p.Leg
	if math.Abs(share-at[0]) < clear {
		if at[0] = share - clear; at[0] < 0.05 {
			at[0] = share + clear
		}
	}
	if math.Abs(share-at[1]) < clear {
		at[1] = share - clear
	}
	return at
}

// place puts channels and the box round the present centre.
func (p *Plan) place() {
	sin, cos := math.Sincos(p.HalfAngle)
	p.Lo, p.Hi = p.Centre, p.Centre
	include := func(q [2]float64) {
		for i := range q {
			p.Lo[i], p.Hi[i] = math.Min(p.Lo[i], q[i]), math.Max(p.Hi[i], q[i])
		}
	}
	on := func(radius, angle float64) [2]float64 {
		s, c := math.Sincos(angle)
		return [2]float64{p.Centre[0] + radius*s, p.Centre[1] + radius*c}
	}
	const n = 180
	for i := range n + 1 {
		a := p.HalfAngle * (2*float64(i)/n - 1)
		include(on(p.Face+p.Width, a))
		include(on(math.Max(0, p.Face-blockDepth), a))
	}
	p.Channels = nil
	if p.Half {
		sin, cos := math.Sincos(p.HalfAngle)
		include([2]float64{p.Centre[0] - p.CentreRadius*sin - Stub*cos, p.Centre[1] + p.CentreRadius*cos - Stub*sin})
	}
	if p.Leg == 0 {
		return
	}
	for _, leg := range []arch.Leg{arch.LegA, arch.LegB} {
		if p.Half && leg == arch.LegA {
			continue // the rest of the bar is still straight there, or bent already
		}
		side := 1.0
		if leg == arch.LegA {
			side = -1
		}
		c := Channel{Leg: leg, Root: on(p.Face, side*p.HalfAngle)}
		along := func(u, out float64) [2]float64 {
			return [2]float64{c.Root[0] + side*(u*cos+out*sin), c.Root[1] - u*sin + out*cos}
		}
		c.End = along(p.Leg, 0)
		for i, share := range p.keepersAt() {
			c.Keepers[i], c.Outer[i] = along(share*p.Leg, 0), along(share*p.Leg, p.Width)
			include(along(share*p.Leg, -keeperOutside))
			include(along(share*p.Leg, p.Width+keeperOutside))
		}
		include(c.End)
		include(along(p.Leg, p.Width))
		p.Channels = append(p.Channels, c)
	}
}

// pulls works out the effort at each block, the bar laid on from its middle outwards.
func (p *Plan) pulls() {
	if p.Yield == 0 {
		return
	}
	moment := Bar{Diameter: p.Diameter, Yield: p.Yield}.PlasticMoment()
	step := 2 * p.HalfAngle / float64(p.Blocks-1)
	for i := range p.Blocks {
		// The turn that is still to be laid on beyond the block.
		left := p.HalfAngle - math.Abs(-p.HalfAngle+float64(i)*step)
		if p.Half {
			left = 2*p.HalfAngle - float64(i)*step
		}
		b := BlockPull{Lever: math.Max(0, left)*p.CentreRadius + p.Leg, Pipe: moment / PullAlone, Force: math.Inf(1)}
		if b.Lever > 1e-6*p.Arc {
			b.Force = moment / b.Lever
		} else {
			b.Lever = 0
		}
		p.Pulls = append(p.Pulls, b)
	}
}

// HardestPull is the largest pull of all blocks; ok is false without a yield.
func (p Plan) HardestPull() (pull BlockPull, ok bool) {
	for _, b := range p.Pulls {
		if b.Force > pull.Force {
			pull, ok = b, true
		}
	}
	return pull, ok
}

// Expected is what the next bar of a lot is expected to do on a jig of given face radius, at the
// centreline in mm and mm per mm.
type Expected struct {
	Tip, U      float64 // standard uncertainty for one bar, without that of the reading
	TipPerFace  float64 // what 1 mm of jig radius does
	TipPerYield float64 // what 1 % of yield does; negative closes
	Yield       float64 // as it acts, MPa
	UYield      float64
	Bars        int // of the lot
}

// Expect says what the next bar of a lot does on any jig, from every bar so far.
func (o Order) Expect(lot string, tests []Test, face float64) (Expected, error) {
	if err := o.Check(); err != nil {
		return Expected{}, err
	}
	if err := o.checkTests(tests, nil); err != nil {
		return Expected{}, err
	}
	if err := arch.CheckPositive("jig_face_radius_mm", face); err != nil {
		return Expected{}, err
	}
	l := o.learn(tests)
	p := l.predict(face, lot)
	lv, e, kj := l.main().of(lot), l.main().e, 1/(face+o.Diameter/2)
	x := Expected{Tip: p.tip, U: p.sd, Bars: lv.bars}
	h := math.Min(0.5, face/4)
	x.TipPerFace = (l.predict(face+h, lot).tip - l.predict(face-h, lot).tip) / (2 * h)
	x.TipPerYield = l.tip(l.spring(kj, lv.mean+0.005, e)) - l.tip(l.spring(kj, lv.mean-0.005, e))
	c, u := l.springConstant(lot)
	x.Yield, x.UYield = c*o.Modulus*o.Diameter, u*o.Modulus*o.Diameter
	return x, nil
}

// Rule is a rule of thumb with what it would cost.
type Rule struct {
	Name string
	Face float64 // jig face radius that the rule asks for, mm
	Tip  float64 // tip-to-tip that the next bar would come to on it, mm at the centreline
	Miss float64 // less the wanted one
}

// Rules works out what the common shortcuts would cost with the bar as learned: halving the wanted
// radius, the formula for sheet, and subtracting the curvature that a tight bend would lose.
func (o Order) Rules(lot string, tests []Test) ([]Rule, error) {
	x, err := o.Expect(lot, tests, o.Wanted)
	if err != nil {
		return nil, err
	}
	short, err := Bar{Diameter: o.Diameter, Modulus: o.Modulus, Yield: x.Yield}.Shortcuts(o.Wanted)
	if err != nil {
		return nil, err
	}
	l := o.learn(tests)
	var rules []Rule
	for _, s := range short[1:] {
		r := Rule{Name: s.Name, Face: s.Jig - o.Diameter/2}
		if r.Face <= 0 {
			continue
		}
		r.Tip = l.predict(r.Face, lot).tip
		r.Miss = r.Tip - o.Target()
		rules = append(rules, r)
	}
	return rules, nil
}
