package demo

import (
	"fmt"
	"math"
	"math/rand/v2"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
)

// modulusMPa is Young's modulus of reinforcing steel, 200 GPa (EN 1992-1-1, 3.2.7).
const modulusMPa = 200_000

// Invented scatter, chosen so that most ribs pass and a few need a hand.
const (
	lotYieldSD    = 0.018  // of the lot's mean yield about 1.06 of the grade
	barYieldSD    = 0.0011 // of a bar about its lot
	driftPerRib   = 0.012  // mm of jig face radius lost per rib as the blocks bed in
	sideSD        = 0.004  // of curvature between the A and the B side
	hardeningMPa  = 2000   // a hundredth of the modulus
	frictionMM    = 1.4    // half-band in which a rib comes to rest
	pullScatter   = 0.06   // of the set of a pull
	tapeStepMM    = 1.0
	caliperStepMM = 0.01
)

// plant is the yard: it bends bars. Everything is drawn from one seed.
type plant struct {
	rng    *rand.Rand
	target qc.Target
	lots   map[string]float64 // mean yield of a lot, MPa
	face   float64            // jig face radius as built, mm
	bent   int
}

func newPlant(seed uint64, t qc.Target, lots []string, face float64) *plant {
	p := &plant{rng: rand.New(rand.NewPCG(seed, 0x5b)), target: t, lots: map[string]float64{}, face: face}
	for _, l := range lots {
		p.lots[l] = float64(t.Bar.YieldMPa) * 1.06 * (1 + lotYieldSD*p.rng.NormFloat64())
	}
	return p
}

// shape is a bent bar: the curvature on both sides of the crown.
type shape struct{ a, b float64 }

// bar is a bar in the yard: its shape, its steel, and how far it has been pulled.
type bar struct {
	shape
	job    bend.Job // steel and jig that it was last wrapped on
	base   float64  // tip-to-tip that the present direction of pulls started from, mm
	sign   float64  // 1 closing, -1 opening, 0 not pulled
	gained float64  // set in that direction so far, mm
}

// wrap bends a bar of a lot on the jig as it stands and lets it spring back.
func (p *plant) wrap(lot string) (bar, error) {
	return p.onJig(p.lots[lot] * (1 + barYieldSD*p.rng.NormFloat64()))
}

// rewrap bends the same bar again on the jig as it stands: tighter than before it is back on its first
// curve, as if never released.
func (p *plant) rewrap(b bar) (bar, error) { return p.onJig(b.job.Yield) }

func (p *plant) onJig(yield float64) (bar, error) {
	p.bent++
	steel := bend.Bar{Diameter: p.target.Bar.Diameter.MM(), Modulus: modulusMPa, Yield: yield, Hardening: hardeningMPa}
	s, err := steel.Spring(p.face - driftPerRib*float64(p.bent))
	if err != nil {
		return bar{}, fmt.Errorf("bend a bar: %w", err)
	}
	k, lean := 1/s.Released, sideSD*p.rng.NormFloat64()
	b := bar{shape: shape{k * (1 + lean), k * (1 - lean)}}
	b.job = bend.Job{Bar: steel, Loaded: s.Loaded, Leg: p.target.Leg.MM(), Arc: p.target.Arc.MM()}
	return b, nil
}

// pull brings the tips to a loaded spacing and lets go. What that sets is the exact pull of the section
// rules turned round, with a little scatter of the hand; a bar remembers how far it was pulled that way.
func (p *plant) pull(b bar, loaded float64) (bar, error) {
	now := p.lay(b.shape).TipToTip()
	sign := 1.0
	if loaded > now {
		sign = -1
	}
	if b.sign != sign {
		b.base, b.sign, b.gained = now, sign, 0
	}
	set, err := setBy(b.job, sign, math.Abs(b.base-loaded))
	if err != nil {
		return bar{}, fmt.Errorf("pull the tips to %.0f mm: %w", loaded, err)
	}
	if set > b.gained {
		b.gained = math.Max(b.gained, set*(1+pullScatter*p.rng.NormFloat64()))
	}
	wanted := b.base - sign*b.gained
	lo, hi := 0.5, 1.5
	for range 60 {
		mid := (lo + hi) / 2
		if p.lay(shape{b.a * mid, b.b * mid}).TipToTip() > wanted {
			lo = mid
		} else {
			hi = mid
		}
	}
	b.shape = shape{b.a * lo, b.b * lo}
	return b, nil
}

// setBy is the set that a travel of the tips leaves, read off a few exact pulls.
func setBy(j bend.Job, sign, travel float64) (float64, error) {
	// Beyond a full turn on the jig the pull is taken as at a full turn: near enough for a yard that is invented.
	j.Loaded = math.Max(j.Loaded, j.Arc/(2*math.Pi))
	on, err := j.Onset()
	if err != nil {
		return 0, err
	}
	from := on.CloseTravel
	if sign < 0 {
		from = on.OpenTravel
	}
	last := 0.0
	for _, set := range []float64{2, 5, 10, 20, 40, 80, 160, 320, 640} {
		if travel <= from {
			return last, nil
		}
		s, err := j.Pull(sign * set)
		if err != nil {
			return 0, err
		}
		to := math.Abs(s.Travel)
		if travel <= to {
			return last + (set-last)*(travel-from)/(to-from), nil
		}
		from, last = to, set
	}
	return last, nil
}

// even bends a leaning rib by hand over a shoulder block until both sides are nearly alike.
func (p *plant) even(b bar) bar {
	mid, lean := (b.a+b.b)/2, (b.a-b.b)/2
	lean *= 0.3 * p.rng.Float64()
	b.shape = shape{mid + lean, mid - lean}
	return b
}

func (p *plant) lay(s shape) arch.Placed {
	leg, half := p.target.Leg.MM(), p.target.Arc.MM()/2
	return arch.Curve{{Length: leg}, {Length: half, Curvature: s.a}, {Length: half, Curvature: s.b}, {Length: leg}}.Place()
}

// read is what a gauge shows of a characteristic of a rib at rest, in mm before rounding.
func (p *plant) read(s shape, c qc.Characteristic) float64 {
	laid := p.lay(s)
	d, side := p.target.Bar.Diameter.MM(), map[qc.Face]float64{qc.Inside: -1, qc.Outside: 1}[c.Face]
	rest := frictionMM * (2*p.rng.Float64() - 1)
	switch c.Kind {
	case qc.TipToTip:
		return laid.TipToTip() + side*d*math.Sin(laid.At(0).Heading) + rest
	case qc.CrownHeight:
		return laid.CrownHeight() + side*d/2 - 0.4*rest
	default:
		return p.offset(laid, c.ID) + 0.15*rest
	}
}

// offset is how far a station stands outside the target curve drawn on the floor, the rib laid with
// its tips level on the drawing's tip line and its crown mark midway between both crowns.
func (p *plant) offset(laid arch.Placed, id qc.CharID) float64 {
	wanted := arch.Shape{Radius: p.target.Radius.MM(), Leg: p.target.Leg.MM(), Arc: p.target.Arc.MM()}.Curve().Place()
	for _, st := range p.target.Stations {
		if st.ID != id {
			continue
		}
		x := wanted.Length()/2 + st.FromCrown.MM()
		if id[0] == 'A' {
			x = wanted.Length()/2 - st.FromCrown.MM()
		}
		w, m := wanted.At(x), laid.At(x)
		nx, ny := wanted.Normal(x)
		lift := (wanted.CrownHeight() - laid.CrownHeight()) / 2
		return (m.X-w.X)*nx + (m.Y+lift-w.Y)*ny
	}
	return 0
}

// shown rounds a value to the gauge's step and writes it with the step's decimals.
func shown(mm, step float64) string {
	places := 0
	if step < 1 {
		places = 2
	}
	return fmt.Sprintf("%.*f", places, math.Round(mm/step)*step)
}
