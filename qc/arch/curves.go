package arch

import "math"

// halfArch mirrors a half written from the crown outwards into a whole bar with legs.
func halfArch(half []Segment, leg float64, crownKink float64) Curve {
	c := Curve{{Length: leg}}
	for i := len(half) - 1; i >= 0; i-- {
		c = append(c, Segment{Length: half[i].Length, Curvature: half[i].Curvature})
	}
	for i, s := range half {
		if i == 0 {
			s.Kink = crownKink
		}
		c = append(c, s)
	}
	return append(c, Segment{Length: leg})
}

// ThreeCentred is a crown arc between two shoulder arcs that meet it without a kink: radii in mm,
// crownAngle the whole turn of the crown arc and shoulderAngle the turn of each shoulder, rad.
func ThreeCentred(crownRadius, crownAngle, shoulderRadius, shoulderAngle, leg float64) (Curve, error) {
	if err := firstError(CheckPositive("crown_radius_mm", crownRadius), CheckPositive("crown_angle_rad", crownAngle),
		CheckPositive("shoulder_radius_mm", shoulderRadius), CheckPositive("shoulder_angle_rad", shoulderAngle), CheckNotNegative("leg_mm", leg)); err != nil {
		return nil, err
	}
	if crownAngle+2*shoulderAngle > 2*math.Pi {
		return nil, Refuse("out_of_range", "shoulder_angle_rad", "makes the arch turn by more than a full turn")
	}
	return halfArch([]Segment{
		{Length: crownRadius * crownAngle / 2, Curvature: 1 / crownRadius},
		{Length: shoulderRadius * shoulderAngle, Curvature: 1 / shoulderRadius},
	}, leg, 0), nil
}

// Pointed is two arcs of one radius meeting at a crown kink (rad): a gothic arch bent from one bar.
func Pointed(radius, halfAngle, kink, leg float64) (Curve, error) {
	if err := firstError(CheckPositive("radius_mm", radius), CheckPositive("arc_angle_rad", halfAngle), CheckPositive("kink_rad", kink), CheckNotNegative("leg_mm", leg)); err != nil {
		return nil, err
	}
	if 2*halfAngle+kink > 2*math.Pi {
		return nil, Refuse("out_of_range", "kink_rad", "makes the arch turn by more than a full turn")
	}
	return halfArch([]Segment{{Length: radius * halfAngle, Curvature: 1 / radius}}, leg, kink), nil
}

// Elliptic is a half ellipse with the given half span and rise (mm), drawn with n arcs to a quadrant
// that meet without kinks. Each arc turns by the same angle; its radius is the ellipse's arc length
// over that turn, then all are changed by the least relative amount that makes span and rise exact.
func Elliptic(halfSpan, rise, leg float64, n int) (Curve, error) {
	if err := firstError(CheckPositive("half_span_mm", halfSpan), CheckPositive("rise_mm", rise), CheckNotNegative("leg_mm", leg)); err != nil {
		return nil, err
	}
	if n < 2 || n > 64 {
		return nil, Refuse("out_of_range", "arcs", "is %d; 2 to 64 arcs to a quadrant can be drawn", n)
	}
	if q := halfSpan / rise; q > 20 || q < 0.05 {
		return nil, Refuse("out_of_range", "rise_mm", "is %g for a half span of %g; arcs cannot follow so slender an ellipse", rise, halfSpan)
	}
	turn := math.Pi / 2 / float64(n)
	r := make([]float64, n)
	// Sums for span and rise are linear in the radii: sum r_i (sin b - sin a), sum r_i (cos a - cos b).
	u, v := make([]float64, n), make([]float64, n)
	var miss [2]float64
	var g [2][2]float64
	for i := range r {
		a, b := turn*float64(i), turn*float64(i+1)
		r[i] = ellipseArc(halfSpan, rise, a, b) / turn
		u[i], v[i] = math.Sin(b)-math.Sin(a), math.Cos(a)-math.Cos(b)
		miss[0] -= r[i] * u[i]
		miss[1] -= r[i] * v[i]
		g[0][0] += sq(r[i] * u[i])
		g[0][1] += r[i] * u[i] * r[i] * v[i]
		g[1][1] += sq(r[i] * v[i])
	}
	miss[0] += halfSpan
	miss[1] += rise
	det := g[0][0]*g[1][1] - sq(g[0][1])
	p := (miss[0]*g[1][1] - miss[1]*g[0][1]) / det
	q := (miss[1]*g[0][0] - miss[0]*g[0][1]) / det
	half := make([]Segment, n)
	for i := range r {
		ri := r[i] * (1 + r[i]*(p*u[i]+q*v[i]))
		if ri <= 0 {
			return nil, Refuse("no_shape", "rise_mm", "is %g for a half span of %g: %d arcs cannot close it", rise, halfSpan, n)
		}
		half[i] = Segment{Length: ri * turn, Curvature: 1 / ri}
	}
	return halfArch(half, leg, 0), nil
}

// ellipseArc is the length of the ellipse between two angles of its normal from the vertical, by
// Gauss-Legendre panels. With the normal at angle t the radius of curvature is a^2 b^2 / (a^2 sin^2 t + b^2 cos^2 t)^1.5.
func ellipseArc(a, b, from, to float64) float64 {
	const panels = 32
	x := [3]float64{-math.Sqrt(0.6), 0, math.Sqrt(0.6)}
	w := [3]float64{5.0 / 9, 8.0 / 9, 5.0 / 9}
	sum, h := 0.0, (to-from)/panels
	for i := range panels {
		m := from + h*(float64(i)+0.5)
		for j := range x {
			s, c := math.Sincos(m + h/2*x[j])
			sum += w[j] * h / 2 * sq(a*b) / math.Pow(sq(a*s)+sq(b*c), 1.5)
		}
	}
	return sum
}
