package draw

// flatten turns the first outline of a path into a polygon, curves along 8 chords each.
func flatten(p Path) []Point {
	var out []Point
	for _, s := range p {
		switch s.Op {
		case CurveTo:
			last := out[len(out)-1]
			for i := 1; i <= 8; i++ {
				out = append(out, bezier(last, s.P, float64(i)/8))
			}
		case Close:
			return out
		default:
			out = append(out, s.P[0])
		}
	}
	return out
}

func bezier(a Point, p [3]Point, t float64) Point {
	u := 1 - t
	w0, w1, w2, w3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
	return Point{
		w0*a.X + w1*p[0].X + w2*p[1].X + w3*p[2].X,
		w0*a.Y + w1*p[0].Y + w2*p[1].Y + w3*p[2].Y,
	}
}

// side is above zero where q lies to one side of the line a-b and below zero on the other.
func side(a, b, q Point) float64 { return (b.X-a.X)*(q.Y-a.Y) - (b.Y-a.Y)*(q.X-a.X) }

// inside reports whether q lies in a convex polygon.
func inside(poly []Point, q Point) bool {
	var left, right bool
	for i, a := range poly {
		s := side(a, poly[(i+1)%len(poly)], q)
		left, right = left || s > 0, right || s < 0
	}
	return left != right
}

// cut returns the part of the segment a-b within a convex polygon.
func cut(poly []Point, a, b Point) (from, to Point, ok bool) {
	turn := 1.0
	if side(poly[0], poly[1], poly[2]) < 0 {
		turn = -1
	}
	t0, t1 := 0.0, 1.0
	for i, p := range poly {
		q := poly[(i+1)%len(poly)]
		sa, sb := turn*side(p, q, a), turn*side(p, q, b)
		switch {
		case sa < 0 && sb < 0:
			return a, b, false
		case sa < 0:
			t0 = max(t0, sa/(sa-sb))
		case sb < 0:
			t1 = min(t1, sa/(sa-sb))
		}
	}
	at := func(t float64) Point { return Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)} }
	return at(t0), at(t1), t0 < t1
}
