package bend

import (
	"fmt"
	"math"

	"springline/qc/arch"
)

// Advice is the jig to build for the next bar of a lot.
type Advice struct {
	Face            float64  `json:"jig_face_radius_mm" doc:"to build, mm"`
	UFace           float64  `json:"u_jig_mm" doc:"its standard uncertainty, mm"`
	Tip             float64  `json:"expected_tip_to_tip_mm" doc:"of the next rib, mm"`
	UTip            float64  `json:"u_tip_to_tip_mm" doc:"its standard uncertainty, mm"`
	SpringConstant  float64  `json:"spring_constant_per_mm" doc:"fy/(E d) as it acts in this lot, 1/mm"`
	USpringConstant float64  `json:"u_spring_constant_per_mm" doc:"its standard uncertainty, 1/mm"`
	Retest          bool     `json:"retest" doc:"bend one bar and ask again before the batch"`
	Warnings        []string `json:"warnings" doc:"what to watch for"`
	Bias            float64  `json:"aimed_closed_mm" doc:"how far the expected tip-to-tip lies below the target, mm"`
	TipPerFace      float64  `json:"tip_per_jig_mm" doc:"change of tip-to-tip for 1 mm of jig radius, mm"`
	TipPerYield     float64  `json:"tip_per_percent_yield_mm" doc:"change of tip-to-tip for 1 % of yield, mm"`
	BarScatter      float64  `json:"bar_scatter" doc:"standard deviation of the spring constant from bar to bar, relative"`
	Bars            int      `json:"bars_of_lot" doc:"bars of this lot that the advice rests on"`
}

// Advise learns the spring constant of the lot from every bar so far and gives the jig that brings the
// next one to the target, a little closed where bars scatter: opening takes a sixth of the travel that
// closing takes, and the legs do not cross.
func (o Order) Advise(lot string, tests []Test) (Advice, error) {
	if err := o.Check(); err != nil {
		return Advice{}, err
	}
	if err := o.checkTests(tests, nil); err != nil {
		return Advice{}, err
	}
	l := o.learn(tests)
	return l.advise(lot)
}

func (l learned) advise(lot string) (Advice, error) {
	target := l.Target()
	face, _, err := l.jig(target, lot)
	if err != nil {
		return Advice{}, err
	}
	if face <= 0 {
		return Advice{}, arch.Refuse("out_of_range", "wanted_radius_mm", "is %g: the bar would need a jig without any radius", l.Wanted)
	}
	bias := aimBias(l.predict(face, lot).sd)
	// A reading error may make the first jig wild; the tips must stay apart and inside the bar's length.
	aim := math.Max(target-bias, -2*l.Leg+1)
	a := Advice{Bias: target - aim, BarScatter: l.bar}
	if a.Face, a.UFace, err = l.jig(aim, lot); err != nil {
		return Advice{}, err
	}
	if a.Face <= 0 {
		return Advice{}, arch.Refuse("out_of_range", "wanted_radius_mm", "is %g: the bar would need a jig without any radius", l.Wanted)
	}
	p := l.predict(a.Face, lot)
	a.Tip, a.UTip = p.tip, p.sd
	a.SpringConstant, a.USpringConstant = l.springConstant(lot)
	a.TipPerFace = (l.predict(a.Face+0.5, lot).tip - l.predict(a.Face-0.5, lot).tip)
	lv := l.main().of(lot)
	a.Bars = lv.bars
	kj := 1 / (a.Face + l.Diameter/2)
	e := l.main().e
	a.TipPerYield = l.tip(l.spring(kj, lv.mean+0.005, e)) - l.tip(l.spring(kj, lv.mean-0.005, e))
	a.Retest = a.Bars == 0
	if moved := lv.moved(); moved != 0 && !a.Retest {
		a.Retest = math.Abs(moved) > 5
		a.Warnings = append(a.Warnings, fmt.Sprintf("the last three bars sprang %s than this lot's earlier ones (%.1f standard "+
			"deviations): the jig or the stock has moved; check the blocks and re-test", moreOrLess(moved), math.Abs(moved)))
	}
	a.Warnings = append(a.Warnings, l.cautions(a)...)
	return a, nil
}

// aimBias is how far below the target to aim, mm, for an expected scatter of the next rib: nothing while
// the scatter is small, then enough that all but one rib in twenty come out closed or within tolerance.
func aimBias(sd float64) float64 { return math.Min(math.Max(0, 1.5*sd-14), 150) }

// main is the guess with the largest weight.
func (l learned) main() guess {
	best := l.guesses[0]
	for _, g := range l.guesses {
		if g.weight > best.weight {
			best = g
		}
	}
	return best
}

// moved is the mean of the last three misses in units of its standard deviation where it stands out
// beyond 4, else 0.
func (lv level) moved() float64 {
	if lv.bars < 6 || len(lv.lastMiss) < 3 {
		return 0
	}
	m := 0.0
	for _, x := range lv.lastMiss[len(lv.lastMiss)-3:] {
		m += x
	}
	if m /= math.Sqrt(3); math.Abs(m) > 4 {
		return m
	}
	return 0
}

func moreOrLess(x float64) string {
	if x > 0 {
		return "back further"
	}
	return "back less"
}

func (l learned) cautions(a Advice) []string {
	var w []string
	c := a.Face + l.Diameter/2
	turn := l.Arc / c
	if turn > 2*math.Pi {
		w = append(w, "on this jig the arc is more than a full turn: bend one half at a time")
	} else if (arch.Shape{Radius: c, Leg: l.Leg, Arc: l.Arc}).LegsCross() {
		w = append(w, "the legs cross on this jig: bend one half at a time, or set the second leg above the first; mind hands where they pass")
	}
	if a.Bars == 0 {
		w = append(w, fmt.Sprintf("no bar of this lot has been bent: the tips may miss by %.0f mm; bend one and ask again", 2*a.UTip))
	}
	if l.left > 0 {
		w = append(w, fmt.Sprintf("%d bars were left out: their readings mean that they "+
			"sprang straight or inwards; check jig radius and reading", l.left))
	}
	b := Bar{Diameter: l.Diameter, Modulus: l.Modulus, Yield: a.SpringConstant * l.Modulus * l.Diameter}
	if l.Leg > 0 {
		if e, err := b.EffortAt(l.Leg); err == nil && e.Advice != "" {
			w = append(w, fmt.Sprintf("about %.0f N at the end of the leg at the last block: %s", e.Force, e.Advice))
		}
	}
	if r := 1 / b.YieldCurvature(); c > 0.8*r {
		w = append(w, "this jig hardly bends the bar past its elastic limit: the set will "+
			"scatter; a thicker or softer bar would hold its shape better")
	}
	return w
}
