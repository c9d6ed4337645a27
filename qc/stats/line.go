package stats

import "math"

// Line is a straight line fitted by least squares, y = Intercept + Slope x.
type Line struct {
	N             int     `json:"-"`
	Intercept     float64 `json:"intercept" doc:"unit of y"`
	Slope         float64 `json:"slope" doc:"unit of y per unit of x"`
	UIntercept    float64 `json:"u_intercept" doc:"standard uncertainty of the intercept"`
	USlope        float64 `json:"u_slope" doc:"standard uncertainty of the slope"`
	Correlation   float64 `json:"correlation" doc:"between the estimates of intercept and slope"` // JCGM 100 H.3.5
	CorrelationXY float64 `json:"correlation_xy" doc:"between x and y"`                           // 0 where all y are equal
	ResidualSD    float64 `json:"residual_sd" doc:"with n - 2, unit of y"`
	xm, ym, sxx   float64
}

// FitLine fits a line to at least three points whose x differ (JCGM 100:2008 H.3; NIST StRD linear
// regression for the numbers).
func FitLine(x, y []float64) (Line, error) {
	if err := firstError(checkData("x", x, 3), checkData("y", y, 3)); err != nil {
		return Line{}, err
	}
	if len(x) != len(y) {
		return Line{}, refuse(BadShape, "y", "holds %d values and x %d; they go in pairs", len(y), len(x))
	}
	n := float64(len(x))
	l := Line{N: len(x), xm: mean(x), ym: mean(y)}
	var sxx, sxy, syy compensated
	for i := range x {
		dx, dy := x[i]-l.xm, y[i]-l.ym
		sxx.add(dx * dx)
		sxy.add(dx * dy)
		syy.add(dy * dy)
	}
	l.sxx = sxx.value()
	if !(l.sxx > 0) {
		return Line{}, refuse(NoSpread, "x", "all x are equal; a line needs two different ones")
	}
	l.Slope = sxy.value() / l.sxx
	l.Intercept = l.ym - l.Slope*l.xm
	var rss compensated
	for i := range x {
		r := (y[i] - l.ym) - l.Slope*(x[i]-l.xm)
		rss.add(r * r)
	}
	l.ResidualSD = math.Sqrt(rss.value() / (n - 2))
	l.USlope = l.ResidualSD / math.Sqrt(l.sxx)
	meanSquare := l.sxx/n + l.xm*l.xm
	l.UIntercept = l.USlope * math.Sqrt(meanSquare)
	l.Correlation = -l.xm / math.Sqrt(meanSquare)
	if syy.value() > 0 {
		l.CorrelationXY = math.Max(-1, math.Min(1, sxy.value()/math.Sqrt(l.sxx)/math.Sqrt(syy.value())))
	}
	return l, nil
}

// At returns the line's value at x and its standard uncertainty (JCGM 100:2008 H.3.4: the line's, not
// that of one more reading).
func (l Line) At(x float64) (value, u float64, err error) {
	if err := checkFinite("at", x); err != nil {
		return 0, 0, err
	}
	d := x - l.xm
	return l.ym + l.Slope*d, l.ResidualSD * math.Sqrt(1/float64(l.N)+d*d/l.sxx), nil
}
