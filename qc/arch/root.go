package arch

import "math"

// zero finds a root of f between a and b, where f has opposite signs, by the Illinois variant of
// regula falsi with bisection as the guard. It stops at relative precision 1e-15 of the bracket.
func zero(f func(float64) float64, a, b float64) float64 {
	fa, fb := f(a), f(b)
	if fa == 0 {
		return a
	}
	if fb == 0 {
		return b
	}
	for i := range 200 {
		x := b - fb*(b-a)/(fb-fa)
		if i%4 == 3 || !(x > math.Min(a, b) && x < math.Max(a, b)) {
			x = a + (b-a)/2
		}
		fx := f(x)
		if fx == 0 || math.Abs(b-a) <= 1e-15*(math.Abs(a)+math.Abs(b)) {
			return x
		}
		if (fx < 0) != (fb < 0) {
			a, fa = b, fb
		} else {
			fa /= 2
		}
		b, fb = x, fx
	}
	return b
}

// lowest finds a minimum of f inside [a, b] by golden section.
func lowest(f func(float64) float64, a, b float64) float64 {
	const g = 0.6180339887498949
	c, d := b-g*(b-a), a+g*(b-a)
	fc, fd := f(c), f(d)
	for range 120 {
		if math.Abs(b-a) <= 1e-14*(math.Abs(a)+math.Abs(b)) {
			break
		}
		if fc < fd {
			b, d, fd = d, c, fc
			c = b - g*(b-a)
			fc = f(c)
		} else {
			a, c, fc = c, d, fd
			d = a + g*(b-a)
			fd = f(d)
		}
	}
	return (a + b) / 2
}
