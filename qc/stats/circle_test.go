package stats

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// Gander, Golub and Strebel 1994, six points (points confirmed, printed results from memory, all digits
// reproduced): centre 4.7398, 2.9835, radius 4.7142, sum of squares 1.2276.
func TestCircleOfSixPoints(t *testing.T) {
	c := must[Circle](t)(FitCircle([][2]float64{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}}))
	printed(t, "x", c.X, 4.7398, 4)
	printed(t, "y", c.Y, 2.9835, 4)
	printed(t, "radius", c.Radius, 4.7142, 4)
	printed(t, "ss", c.SS, 1.2276, 4)
}

// Exact geometry: any points of a circle give it back, wherever it lies and however short the arc.
func TestPropertyExactArcs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rapid.Float64Range(0.01, 1e5).Draw(t, "radius")
		x := rapid.Float64Range(-1e3, 1e3).Draw(t, "x") * r
		y := rapid.Float64Range(-1e3, 1e3).Draw(t, "y") * r
		from := rapid.Float64Range(0, 2*math.Pi).Draw(t, "from")
		arc := rapid.Float64Range(0.05, 2*math.Pi).Draw(t, "arc")
		n := rapid.IntRange(3, 30).Draw(t, "n")
		pts := make([][2]float64, n)
		for i := range pts {
			s, c := math.Sincos(from + arc*float64(i)/float64(n))
			pts[i] = [2]float64{x + r*c, y + r*s}
		}
		got, err := FitCircle(pts)
		if err != nil {
			t.Fatal(err)
		}
		// The points are rounded at |centre| + r; a short arc magnifies that by 8/arc^2.
		tol := 1e-11 * (1 + math.Abs(x)/r + math.Abs(y)/r) / (arc * arc) * 10
		if math.Abs(got.X-x) > tol*r || math.Abs(got.Y-y) > tol*r || math.Abs(got.Radius-r) > tol*r {
			t.Fatalf("got %+v, want %g %g %g (tol %g)", got, x, y, r, tol)
		}
	})
}

// At the fitted circle no small move in any direction lowers the sum of squares.
func TestNoisyArcsAreMinima(t *testing.T) {
	rng := rand.New(rand.NewPCG(1994, 558))
	ss := func(pts [][2]float64, x, y float64) float64 {
		var d, q float64
		for _, p := range pts {
			d += math.Hypot(p[0]-x, p[1]-y) / float64(len(pts))
		}
		for _, p := range pts {
			e := math.Hypot(p[0]-x, p[1]-y) - d
			q += e * e
		}
		return q
	}
	for range 300 {
		half := 0.15 + 3*rng.Float64()
		pts := make([][2]float64, 5+rng.IntN(20))
		for i := range pts {
			s, c := math.Sincos(half * (2*rng.Float64() - 1))
			r := 1500 + 1.5*rng.NormFloat64()
			pts[i] = [2]float64{r * s, r * c}
		}
		c := must[Circle](t)(FitCircle(pts))
		near(t, "ss", c.SS, ss(pts, c.X, c.Y), 1e-6, 0)
		for _, step := range []float64{0.01, 1, 100} {
			for k := range 8 {
				s, co := math.Sincos(float64(k) * math.Pi / 4)
				if moved := ss(pts, c.X+step*co, c.Y+step*s); moved < c.SS*(1-1e-9) {
					t.Fatalf("moving %g towards %d/8 lowers %g to %g; arc half-angle %g, %d points", step, k, c.SS, moved, half, len(pts))
				}
			}
		}
	}
}

func TestCircleRefuses(t *testing.T) {
	line := func(n int, f func(i float64) [2]float64) [][2]float64 {
		p := make([][2]float64, n)
		for i := range p {
			p[i] = f(float64(i))
		}
		return p
	}
	for name, pts := range map[string][][2]float64{
		"diagonal":       line(4, func(i float64) [2]float64 { return [2]float64{i, i} }),
		"level, far":     line(5, func(i float64) [2]float64 { return [2]float64{1e6 + i, 3} }),
		"upright":        line(3, func(i float64) [2]float64 { return [2]float64{-7, i * i} }),
		"third steps":    line(9, func(i float64) [2]float64 { return [2]float64{i / 3, i / 7} }),
		"an S":           {{-3, -1}, {-2, -1}, {-1, -0.5}, {0, 0}, {1, 0.5}, {2, 1}, {3, 1}},
		"a zigzag":       {{0, 1}, {1, -1}, {2, 1}, {3, -1}, {4, 1}, {5, -1}, {6, 1}, {7, -1}, {8, 1}, {9, -1}},
		"twice the ends": {{0, 0}, {0, 0}, {1, 1}, {1, 1}, {0.5, 0.5}},
	} {
		c, err := FitCircle(pts)
		if err == nil {
			t.Errorf("%s gave %+v", name, c)
			continue
		}
		refused(t, name, err, NoFiniteCircle, "points")
	}
	for name, pts := range map[string][][2]float64{
		"none": {}, "two": {{0, 0}, {1, 0}}, "two, repeated": {{0, 0}, {1, 0}, {0, 0}, {1, 0}}, "one, repeated": {{1, 1}, {1, 1}, {1, 1}},
	} {
		_, err := FitCircle(pts)
		refused(t, name, err, TooFewPoints, "points")
	}
	_, err := FitCircle([][2]float64{{0, 0}, {1, math.Inf(1)}, {2, 2}})
	refused(t, "infinite", err, OutOfRange, "points[1][1]")
	near(t, "three points", must[Circle](t)(FitCircle([][2]float64{{0, 0}, {2, 0}, {0, 2}})).Radius, math.Sqrt2, 1e-13, 0)
	// A rib nearly straight: radius 1e6 over a metre, sagitta 0.000125 mm.
	flat := line(9, func(i float64) [2]float64 { x := 125 * (i - 4); return [2]float64{x, math.Sqrt(1e12 - x*x)} })
	near(t, "a flat arc", must[Circle](t)(FitCircle(flat)).Radius, 1e6, 1e-3, 0)
}
