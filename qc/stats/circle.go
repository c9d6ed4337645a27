package stats

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Circle is a circle fitted to points.
type Circle struct {
	X      float64 `json:"x" doc:"centre, unit of the points"`
	Y      float64 `json:"y" doc:"centre"`
	Radius float64 `json:"radius" doc:"unit of the points"`
	SS     float64 `json:"ss" doc:"sum of squared distances from the circle"`
}

// FitCircle minimises the sum of squared distances from the circle (geometric fit; Gander, Golub and
// Strebel 1994, BIT 34, 558-578). Three points that are not the same and not on a line are needed.
// Points on a line, or nearer to one than to any circle within 1e8 times their extent, are
// refused as no_finite_circle.
//
// The radius is eliminated (it is the mean distance) and the centre found by damped Newton steps with
// the exact second derivatives, from Taubin's algebraic fit (Taubin 1991), on centred and scaled points.
func FitCircle(points [][2]float64) (Circle, error) {
	for i, p := range points {
		if err := checkData(fmt.Sprintf("points[%d]", i), p[:], 2); err != nil {
			return Circle{}, err
		}
	}
	if n := distinct(points, 3); n < 3 {
		return Circle{}, refuse(TooFewPoints, "points", "holds %d different points; a circle needs at least 3", n)
	}
	c, scaled, scale := centred(points)
	farthest, lineSS := fromLine(scaled)
	if farthest < 1e-12*math.Sqrt(float64(len(scaled))) {
		return Circle{}, refuse(NoFiniteCircle, "points", "the points lie on a straight line")
	}
	best, ok := circleFit{}, false
	for _, start := range taubin(scaled) {
		f, converged := newton(scaled, start)
		if converged && (!ok || f.ss < best.ss) {
			best, ok = f, true
		}
	}
	// A circle that fits worse than the line is a side valley: the true best one has no end.
	if !ok || best.ss >= lineSS {
		return Circle{}, refuse(NoFiniteCircle, "points", "a straight line fits the points as well as any circle")
	}
	return Circle{X: c[0] + scale*best.a, Y: c[1] + scale*best.b, Radius: scale * best.r, SS: scale * scale * best.ss}, nil
}

// distinct counts different points, up to enough.
func distinct(points [][2]float64, enough int) int {
	var seen [][2]float64
next:
	for _, p := range points {
		for _, s := range seen {
			if s == p {
				continue next
			}
		}
		if seen = append(seen, p); len(seen) == enough {
			break
		}
	}
	return len(seen)
}

// centred moves the points to their mean and scales their root mean square distance from it to 1.
func centred(points [][2]float64) (c [2]float64, out [][2]float64, scale float64) {
	xs, ys := make([]float64, len(points)), make([]float64, len(points))
	for i, p := range points {
		xs[i], ys[i] = p[0], p[1]
	}
	c = [2]float64{mean(xs), mean(ys)}
	scale = math.Sqrt((sumSquares(xs, c[0]) + sumSquares(ys, c[1])) / float64(len(points)))
	out = make([][2]float64, len(points))
	for i, p := range points {
		out[i] = [2]float64{(p[0] - c[0]) / scale, (p[1] - c[1]) / scale}
	}
	return c, out, scale
}

// fromLine returns the greatest distance of centred points from their best line and the sum of squares.
func fromLine(points [][2]float64) (farthest, ss float64) {
	var xx, xy, yy float64
	for _, p := range points {
		xx, xy, yy = xx+p[0]*p[0], xy+p[0]*p[1], yy+p[1]*p[1]
	}
	s, c := math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	for _, p := range points {
		d := math.Abs(p[1]*c - p[0]*s)
		farthest = math.Max(farthest, d)
		ss += d * d
	}
	return farthest, ss
}

// taubin returns starting centres: Taubin's fit, the smallest singular vector of
// [(z - zbar)/(2 sqrt zbar), x, y] with z = x^2 + y^2, and Kasa's linear fit beside it.
func taubin(points [][2]float64) [][2]float64 {
	n := len(points)
	zbar := 0.0
	for _, p := range points {
		zbar += (p[0]*p[0] + p[1]*p[1]) / float64(n)
	}
	m := mat.NewDense(n, 3, nil)
	var xx, xy, yy, xz, yz float64
	for i, p := range points {
		z := p[0]*p[0] + p[1]*p[1] - zbar
		m.SetRow(i, []float64{z / (2 * math.Sqrt(zbar)), p[0], p[1]})
		xx, xy, yy, xz, yz = xx+p[0]*p[0], xy+p[0]*p[1], yy+p[1]*p[1], xz+p[0]*z, yz+p[1]*z
	}
	var starts [][2]float64
	var svd mat.SVD
	if svd.Factorize(m, mat.SVDThin) {
		var v mat.Dense
		svd.VTo(&v)
		if a := v.At(0, 2) / (2 * math.Sqrt(zbar)); a != 0 {
			starts = append(starts, [2]float64{-v.At(1, 2) / (2 * a), -v.At(2, 2) / (2 * a)})
		}
	}
	if det := xx*yy - xy*xy; det > 0 {
		starts = append(starts, [2]float64{(xz*yy - yz*xy) / (2 * det), (yz*xx - xz*xy) / (2 * det)})
	}
	return starts
}

type circleFit struct{ a, b, r, ss float64 }

// newton minimises S(a, b) = sum (d_i - mean d)^2 from a starting centre. It reports no convergence
// when the centre runs away.
func newton(points [][2]float64, start [2]float64) (circleFit, bool) {
	const farthest = 1e8
	f := spread(points, start[0], start[1])
	damp := 1e-6
	for range 500 {
		if f.r > farthest || math.IsNaN(f.ss) {
			return f, false
		}
		gx, gy, hxx, hxy, hyy := derivatives(points, f)
		moved := false
		for range 60 {
			// Damping in proportion to the size of the second derivatives keeps the step downhill.
			d := damp * (math.Abs(hxx) + math.Abs(hyy))
			axx, ayy := hxx+d, hyy+d
			det := axx*ayy - hxy*hxy
			if !(det > 0 && axx > 0) {
				damp = math.Max(damp*4, 1e-9)
				continue
			}
			sx, sy := -(gx*ayy-gy*hxy)/det, -(gy*axx-gx*hxy)/det
			next := spread(points, f.a+sx, f.b+sy)
			small := math.Hypot(sx, sy) <= 1e-14*math.Max(1, f.r)
			if next.ss < f.ss {
				f, moved = next, true
				damp /= 16
			}
			if small {
				return polish(points, f), f.r <= farthest
			}
			if moved {
				break
			}
			damp = math.Max(damp*4, 1e-9)
		}
		if !moved { // no step improves: the bottom to rounding
			return polish(points, f), f.r <= farthest
		}
	}
	return f, false
}

// polish takes a few plain Newton steps as long as the gradient shrinks: the sum of squares is flat at its
// bottom and tells the centre to half the digits only.
func polish(points [][2]float64, f circleFit) circleFit {
	gx, gy, hxx, hxy, hyy := derivatives(points, f)
	for range 5 {
		det := hxx*hyy - hxy*hxy
		if !(det > 0) {
			return f
		}
		next := spread(points, f.a-(gx*hyy-gy*hxy)/det, f.b-(gy*hxx-gx*hxy)/det)
		nx, ny, nxx, nxy, nyy := derivatives(points, next)
		if !(math.Hypot(nx, ny) < math.Hypot(gx, gy)) {
			return f
		}
		f, gx, gy, hxx, hxy, hyy = next, nx, ny, nxx, nxy, nyy
	}
	return f
}

func spread(points [][2]float64, a, b float64) circleFit {
	n := float64(len(points))
	var sum compensated
	for _, p := range points {
		sum.add(math.Hypot(p[0]-a, p[1]-b))
	}
	r := sum.value() / n
	var ss compensated
	for _, p := range points {
		e := math.Hypot(p[0]-a, p[1]-b) - r
		ss.add(e * e)
	}
	return circleFit{a, b, r, ss.value()}
}

// derivatives returns half the gradient and half the second derivatives of S. With u_i the direction
// from the centre to point i: g = -sum (d_i - R) u_i,
// H = sum (u_i - ubar) u_i' + (d_i - R)(I - u_i u_i')/d_i.
func derivatives(points [][2]float64, f circleFit) (gx, gy, hxx, hxy, hyy float64) {
	n := float64(len(points))
	var ux, uy float64
	for _, p := range points {
		if d := math.Hypot(p[0]-f.a, p[1]-f.b); d > 0 {
			ux, uy = ux+(p[0]-f.a)/d/n, uy+(p[1]-f.b)/d/n
		}
	}
	for _, p := range points {
		d := math.Hypot(p[0]-f.a, p[1]-f.b)
		if d == 0 {
			continue
		}
		x, y, e := (p[0]-f.a)/d, (p[1]-f.b)/d, d-f.r
		gx, gy = gx-e*x, gy-e*y
		hxx += (x-ux)*x + e/d*y*y
		hxy += (x-ux)*y - e/d*x*y
		hyy += (y-uy)*y + e/d*x*x
	}
	return gx, gy, hxx, hxy, hyy
}
