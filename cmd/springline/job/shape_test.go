package job

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Every sufficient set of what is known of the example's rib gives that rib back. The numbers are the rib's
// own, worked out by T = 2 (R sin phi + l cos phi), H = R (1 - cos phi) + l sin phi at phi = 4200/2674.
func TestShapeFromAnySufficientSet(t *testing.T) {
	const r, l, s = 1337.0, 900.0, 4200.0
	phi := s / (2 * r)
	line := map[string]string{
		"leg": `leg = "900"`, "arc": `arc = "4200"`, "radius": `radius = "1337"`, "bar": `bar_length = "6000"`,
		"span":  fmt.Sprintf(`span = "%.4f"`, 2*(r*math.Sin(phi)+l*math.Cos(phi))),
		"crown": fmt.Sprintf(`crown_height = "%.4f"`, r*(1-math.Cos(phi))+l*math.Sin(phi)),
		"angle": fmt.Sprintf(`arc_angle_deg = %.6f`, 2*phi*180/math.Pi),
	}
	text := strings.Replace(string(Example()), `face = "outside"`, `face = "centre"`, 1)
	for _, drop := range []string{"leg", "arc", "radius"} {
		i := strings.Index(text, "\n"+drop+" = ")
		j := i + 1 + strings.Index(text[i+1:], "\n")
		text = text[:i] + text[j:]
	}
	for _, set := range []string{"leg arc radius", "bar arc radius", "bar leg radius", "bar angle radius", "bar leg span", "bar span crown",
		"leg angle crown", "arc leg crown span", "arc crown radius", "bar leg arc radius span crown angle"} {
		var add []string
		for _, name := range strings.Fields(set) {
			add = append(add, line[name])
		}
		j, err := Parse([]byte(strings.Replace(text, "[target]", "[target]\n"+strings.Join(add, "\n"), 1)))
		if err != nil {
			t.Errorf("%s: %v", set, err)
			continue
		}
		if got := j.Target; math.Abs(got.Radius.MM()-r) > 0.11 || math.Abs(got.Leg.MM()-l) > 0.11 || math.Abs(got.Arc.MM()-s) > 0.21 {
			t.Errorf("%s: radius %s, leg %s, arc %s", set, got.Radius, got.Leg, got.Arc)
		}
	}
}
