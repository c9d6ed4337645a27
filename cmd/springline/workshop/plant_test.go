package workshop

import (
	"flag"
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"
)

var (
	plants = flag.Int("plants", 3, "how many hidden plants TestWorkshop makes ribs on")
	first  = flag.Uint64("first", 0, "seed of the first of them")
	beside = flag.Bool("beside", true, "make the same ribs by section rules without learning, to compare")
	story  = flag.Bool("story", false, "tell every rib of every plant")
)

const heading = "plant   bar kind scatter  of 24  pulls wasted  lots crown | of 24  pulls wasted"

// TestWorkshop follows the advice to the letter on hidden plants. Every plant must bring 23 of 24 ribs
// within tolerance with at most 1.5 pulls a rib and one wasted bar a lot. Each plant reports as it is
// done; make workshop runs them all.
func TestWorkshop(t *testing.T) {
	t.Logf("advice followed to the letter | section rules without learning\n%s", heading)
	var mu sync.Mutex
	lines := make([]string, *plants)
	pulls, ribs, worst := 0, 0, 0.0
	t.Run("plant", func(t *testing.T) {
		for i := range *plants {
			t.Run(fmt.Sprint(*first+uint64(i)), func(t *testing.T) {
				t.Parallel()
				line, r := tryPlant(t, *first+uint64(i))
				mu.Lock()
				defer mu.Unlock()
				lines[i] = line
				pulls, ribs, worst = pulls+r.actions(), ribs+r.Ribs, math.Max(worst, r.perRib())
			})
		}
	})
	if ribs == 0 {
		t.Fatal("no rib was made")
	}
	t.Logf("all %d plants: %.2f pulls a rib, %.2f on the worst plant\n%s\n%s", *plants, float64(pulls)/float64(ribs), worst, heading,
		strings.Join(lines, "\n"))
}

func (r Result) actions() int    { return r.Pulls + r.Wraps }
func (r Result) perRib() float64 { return float64(r.actions()) / float64(r.Ribs) }

// tryPlant makes one plant's ribs with the advice and without, reports and judges.
func tryPlant(t *testing.T, seed uint64) (string, Result) {
	h := draw(seed)
	var told []string
	r, err := h.Run(seed, func(f string, a ...any) { told = append(told, fmt.Sprintf(f, a...)) })
	if err != nil {
		t.Fatal(err)
	}
	var n Result
	if *beside {
		if n, err = h.Nominal(seed); err != nil {
			t.Fatal(err)
		}
	}
	crown := 0.0
	for _, x := range r.CrownMiss {
		crown = math.Max(crown, math.Abs(x))
	}
	line := fmt.Sprintf("%5d %5.1f %4s %6.1f%% %6d %6.2f %6d %5d %6.0f | %6d %6.2f %6d",
		seed, h.Diameter, h.kind(), 100*h.BarSD, r.Good, r.perRib(), r.Wasted, r.Lots, crown, n.Good,
		float64(n.Pulls)/math.Max(float64(n.Ribs), 1), n.Wasted)
	t.Log(line)
	if r.Good < r.Ribs-1 || r.Wasted > r.Lots || r.perRib() > 1.5 {
		t.Errorf("plant %d: %d of %d within tolerance, %.2f pulls a rib, %d bars wasted in %d lots", seed, r.Good, r.Ribs, r.perRib(), r.Wasted,
			r.Lots)
	}
	if *story || t.Failed() {
		t.Log(strings.Join(told, "\n"))
	}
	return line, r
}

// kind is the steel's memory, w for a section in one piece, h for hinges at the roots, r for rigid ones,
// j for a jig that slips, x for legs that cannot be crossed, t where only test bars are heard of.
func (h Hidden) kind() string {
	k := fmt.Sprint(h.Steel.memory)
	for _, x := range []struct {
		is   bool
		mark string
	}{{h.Whole, "w"}, {h.RootKink != 0, "h"}, {h.RootKink == 0 && h.Lever == 0, "r"}, {h.Jump != 0, "j"}, {h.NoCross, "x"},
		{h.TestsOnly, "t"}} {
		if x.is {
			k += x.mark
		}
	}
	return k
}

// The fibres' own limits: a sharp steel without memory must carry the plastic moment fy d^3/6.
func TestPlantCarriesThePlasticMoment(t *testing.T) {
	for _, kind := range []memory{ofBranch, ofExtreme, reduced, sliders} {
		b := newBar(steel{modulus: 200e3, yield: 500, r0: 20, a2: 0.15, memory: kind}, 12)
		var s section
		if m, want := b.moment(&s, 0.02), 500*12.0*12*12/6; math.Abs(m/want-1) > 0.02 {
			t.Errorf("kind %d: moment %.0f, plastic moment %.0f", kind, m, want)
		}
		if ei := b.moment(&s, 1e-6) / 1e-6; math.Abs(ei/b.ei-1) > 1e-3 {
			t.Errorf("kind %d: stiffness %.4g, want %.4g", kind, ei, b.ei)
		}
	}
}
