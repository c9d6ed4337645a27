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
	frictionMM    = 2.0    // half-band in which a rib comes to rest
	pullScatter   = 4.0    // mm about the spacing aimed at
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

// wrap bends a bar of a lot on the jig as it stands and lets it spring back.
func (p *plant) wrap(lot string) (shape, error) {
	p.bent++
	bar := bend.Bar{
		Diameter: p.target.Bar.Diameter.MM(), Modulus: modulusMPa,
		Yield: p.lots[lot] * (1 + barYieldSD*p.rng.NormFloat64()),
	}
	s, err := bar.Spring(p.face - driftPerRib*float64(p.bent))
	if err != nil {
		return shape{}, fmt.Errorf("bend a bar of %s: %w", lot, err)
	}
	k, lean := 1/s.Released, sideSD*p.rng.NormFloat64()
	return shape{k * (1 + lean), k * (1 - lean)}, nil
}

// pull moves the tips by about -off mm for good and says at which spacing they were let go: closing
// sets nothing for the first nine tenths of the way back to the jig, opening for the first sixth.
func (p *plant) pull(s shape, off float64) (shape, float64) {
	free := p.lay(s).TipToTip()
	onJig := arch.Rib{Radius: p.face + p.target.Bar.Diameter.MM()/2, Leg: p.target.Leg.MM(), Arc: p.target.Arc.MM()}.TipToTip()
	loaded := free - 0.9*(free-onJig) - off/0.8
	if off < 0 {
		loaded = free + 0.17*(free-onJig) + 90*math.Sqrt(-off)
	}
	wanted := free - off + pullScatter*p.rng.NormFloat64()
	lo, hi := 0.5, 1.5
	for range 60 {
		mid := (lo + hi) / 2
		if p.lay(shape{s.a * mid, s.b * mid}).TipToTip() > wanted {
			lo = mid
		} else {
			hi = mid
		}
	}
	return shape{s.a * lo, s.b * lo}, loaded
}

// even bends a leaning rib by hand over a shoulder block until both sides are nearly alike.
func (p *plant) even(s shape) shape {
	mid, lean := (s.a+s.b)/2, (s.a-s.b)/2
	lean *= 0.3 * p.rng.Float64()
	return shape{mid + lean, mid - lean}
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

// offset is how far a station stands proud of the target curve drawn on the floor, the rib laid with
// its tips level on the drawing's tip line and its crown mark midway between both crowns.
func (p *plant) offset(laid arch.Placed, id qc.CharID) float64 {
	wanted := arch.Rib{Radius: p.target.Radius.MM(), Leg: p.target.Leg.MM(), Arc: p.target.Arc.MM()}.Curve().Place()
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
