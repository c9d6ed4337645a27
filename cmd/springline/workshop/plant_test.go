package workshop

import (
	"flag"
	"fmt"
	"math"
	"strings"
	"testing"
)

var plants = flag.Int("plants", 2, "how many hidden plants TestWorkshop makes ribs on")

// TestWorkshop follows the advice to the letter on hidden plants. Every plant must bring 23 of 24 ribs
// within tolerance with at most one wasted bar a lot, and all together need at most 1.5 actions a rib.
// The full table: go test ./cmd/springline/workshop -run Workshop -v -timeout 60m -plants 24
func TestWorkshop(t *testing.T) {
	var table strings.Builder
	actions, ribs := 0, 0
	for seed := range uint64(*plants) {
		h := draw(seed)
		var story []string
		r, err := h.Run(seed, func(f string, a ...any) { story = append(story, fmt.Sprintf(f, a...)) })
		if err != nil {
			t.Fatal(err)
		}
		n, err := h.Nominal(seed)
		if err != nil {
			t.Fatal(err)
		}
		crown := 0.0
		for _, x := range r.CrownMiss {
			crown = math.Max(crown, math.Abs(x))
		}
		per := float64(r.Pulls+r.Wraps) / float64(r.Ribs)
		actions, ribs = actions+r.Pulls+r.Wraps, ribs+r.Ribs
		fmt.Fprintf(&table, "%5d %5.1f %4d %6d %6.2f %6d %5d %6.0f | %6d %6.2f %6d\n",
			seed, h.Diameter, h.Steel.memory, r.Good, per, r.Wasted, r.Lots, crown, n.Good, float64(n.Pulls)/float64(n.Ribs), n.Wasted)
		if r.Good < r.Ribs-1 || r.Wasted > r.Lots || per > 2 {
			t.Errorf("plant %d: %d of %d within tolerance, %.2f actions a rib, %d bars wasted in %d lots\n%s", seed, r.Good, r.Ribs, per, r.Wasted, r.Lots, strings.Join(story, "\n"))
		}
	}
	if mean := float64(actions) / float64(ribs); ribs == 0 || mean > 1.5 {
		t.Errorf("%.2f actions a rib over %d ribs, want at most 1.5", mean, ribs)
	}
	t.Logf("advice followed to the letter | section rules without learning\nplant   bar kind  of 24  pulls wasted  lots crown | of 24  pulls wasted\n%s", table.String())
}

// The fibres' own limits: a sharp steel without memory must carry the plastic moment fy d^3/6.
func TestPlantCarriesThePlasticMoment(t *testing.T) {
	for _, kind := range []memory{ofBranch, ofExtreme, reduced, sliders} {
		b := newBar(steel{modulus: 200e3, yield: 500, r0: 20, a2: 0.15, memory: kind}, 12)
		var s section
		if m, want := b.moment(&s, 0.02), 500*12.0*12*12/6; math.Abs(m/want-1) > 0.02 {
			t.Errorf("kind %d: moment %.0f, plastic moment %.0f", kind, m, want)
		}
		if ei := b.moment(&s, 1e-6) / 1e-6; math.Abs(ei/b.stiffness()-1) > 1e-3 {
			t.Errorf("kind %d: stiffness %.4g, want %.4g", kind, ei, b.stiffness())
		}
	}
}
