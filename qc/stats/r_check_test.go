//go:build full

package stats

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"
)

// This file compares with the base functions of R (Debian r-base-core) on fresh random data; the seed is
// printed so that a failure can be repeated. It fails where R is missing.

type rCheck struct {
	exprs []string
	ours  []float64
	rel   []float64
}

func (r *rCheck) add(ours, rel float64, expr string, args ...any) {
	r.exprs = append(r.exprs, fmt.Sprintf(expr, args...))
	r.ours = append(r.ours, ours)
	r.rel = append(r.rel, rel)
}

func vector(x []float64) string {
	s := make([]string, len(x))
	for i, v := range x {
		s[i] = strconv.FormatFloat(v, 'g', 17, 64)
	}
	return "c(" + strings.Join(s, ",") + ")"
}

func (r *rCheck) run(t *testing.T) {
	t.Helper()
	var script strings.Builder
	script.WriteString("options(digits=17); p <- function(v) cat(format(v, digits=17), '\\n')\n")
	for _, e := range r.exprs {
		fmt.Fprintf(&script, "p(%s)\n", e)
	}
	cmd := exec.Command("Rscript", "-")
	cmd.Stdin = strings.NewReader(script.String())
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("R did not run (install r-base-core): %v", err)
	}
	rows, err := csv.NewReader(strings.NewReader(string(out))).ReadAll()
	if err != nil || len(rows) != len(r.exprs) || len(rows) == 0 {
		t.Fatalf("R answered %d of %d (%v)", len(rows), len(r.exprs), err)
	}
	worst := 0.0
	for i, row := range rows {
		want, err := strconv.ParseFloat(strings.TrimSpace(row[0]), 64)
		if err != nil {
			t.Fatalf("%.200s: R said %q", r.exprs[i], row[0])
		}
		off := math.Abs(r.ours[i] - want)
		if want != 0 {
			off /= math.Abs(want)
		}
		worst = math.Max(worst, off/r.rel[i])
		if !(off <= r.rel[i]) {
			t.Errorf("%.160s: ours %.17g, R %.17g, off by %.2g, allowed %.2g", r.exprs[i], r.ours[i], want, off, r.rel[i])
		}
	}
	t.Logf("%d comparisons, the worst at %.2g of what is allowed", len(rows), worst)
}

func freshSeed(t *testing.T) *rand.Rand {
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	return rand.New(rand.NewPCG(seed, 1))
}

func TestDistributionsAgainstR(t *testing.T) {
	var r rCheck
	for _, p := range []float64{1e-12, 1e-6, 1e-3, .025, .2, .5, .8, .95, .975, .995, .9995, 1 - 1e-6} {
		r.add(normalQuantile(p), 1e-12, "qnorm(%.17g)", p)
		for _, nu := range []float64{1, 2, 3, 5, 9.5, 28, 100, 1000, 1e6} {
			r.add(TQuantile(p, nu), 1e-9, "qt(%.17g,%g)", p, nu)
			if p > 1e-9 {
				r.add(chi2Quantile(p, nu), 1e-10, "qchisq(%.17g,%g)", p, nu)
			}
		}
	}
	for _, z := range []float64{-38, -20, -8, -3, -1, -.1, 0, .1, 1, 3, 6, 8} {
		r.add(normalCDF(z), 1e-12, "pnorm(%g)", z)
		r.add(logNormalCDF(z*3), 1e-9, "pnorm(%g, log.p=TRUE)", z*3)
		f := math.Abs(z) + .01
		for _, nu := range []float64{1, 2, 5, 28, 100, 1e4} {
			r.add(tTail(f, nu), 1e-10, "pt(%g,%g,lower.tail=FALSE)", f, nu)
			r.add(fTail(f, 4, nu), 1e-10, "pf(%g,4,%g,lower.tail=FALSE)", f, nu)
			r.add(chi2Tail(f*nu/3, nu), 1e-10, "pchisq(%.17g,%g,lower.tail=FALSE)", f*nu/3, nu)
		}
	}
	for _, n := range []int{2, 3, 4, 5, 10, 25} {
		for _, p := range []float64{.9, .95, .99} {
			f, err := CriticalRange(n, p)
			if err != nil {
				t.Fatal(err)
			}
			r.add(f, 1e-6, "qtukey(%g,%d,Inf)", p, n)
		}
	}
	r.run(t)
}

func TestNoncentralAgainstR(t *testing.T) {
	rng := freshSeed(t)
	var r rCheck
	for range 60 {
		nu := float64(1 + rng.IntN(60))
		delta := 12*rng.Float64() - 4
		x := delta + 4*rng.NormFloat64()
		// R's pt sums a series to about 1e-12 absolute.
		if p := noncentralT(x, nu, delta); p > 1e-3 {
			r.add(p, 1e-8, "pt(%.17g,%g,ncp=%.17g)", x, nu, delta)
		}
		n := 2 + rng.IntN(80)
		cover, conf := .5+.49*rng.Float64(), .5+.49*rng.Float64()
		one, two, err := ToleranceFactors(n, cover, conf)
		if err != nil {
			t.Fatal(err)
		}
		r.add(one, 1e-5, "qt(%.17g,%d,ncp=qnorm(%.17g)*sqrt(%d))/sqrt(%d)", conf, n-1, cover, n, n)
		// The confidence of our own two-sided factor, by R's integrate and uniroot.
		r.add(conf, 1e-6, "(function(k,n,p) integrate(Vectorize(function(w) 2*dnorm(w)*"+
			"pchisq((n-1)*uniroot(function(r) pnorm(w/sqrt(n)+r)-pnorm(w/sqrt(n)-r)-p,c(0,60),tol=1e-13)$root^2/k^2,"+
			"n-1,lower.tail=FALSE)),0,9,rel.tol=1e-9,subdivisions=500)$value)(%.17g,%d,%.17g)", two, n, cover)
	}
	r.run(t)
}

func randomSeries(rng *rand.Rand, n int) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = math.Round(1e3*(5+rng.NormFloat64()+0.02*float64(i))) / 1e3
	}
	return x
}

func TestSeriesAgainstR(t *testing.T) {
	rng := freshSeed(t)
	var r rCheck
	for range 20 {
		n := 10 + rng.IntN(60)
		x, y := randomSeries(rng, n), randomSeries(rng, n)
		s, err := Summarise(x)
		if err != nil {
			t.Fatal(err)
		}
		v := vector(x)
		r.add(s.Mean, 1e-13, "mean(%s)", v)
		r.add(s.SD, 1e-12, "sd(%s)", v)
		r.add(s.Lag1, 1e-9, "acf(%s,plot=FALSE)$acf[2]", v)

		l, err := FitLine(x, y)
		if err != nil {
			t.Fatal(err)
		}
		fit := fmt.Sprintf("(function(x,y) lm(y~x))(%s,%s)", v, vector(y))
		r.add(l.Intercept, 1e-10, "coef(%s)[[1]]", fit)
		r.add(l.Slope, 1e-9, "coef(%s)[[2]]", fit)
		r.add(l.UIntercept, 1e-10, "sqrt(vcov(%s)[1,1])", fit)
		r.add(l.USlope, 1e-10, "sqrt(vcov(%s)[2,2])", fit)
		r.add(l.Correlation, 1e-10, "cov2cor(vcov(%s))[1,2]", fit)
		r.add(l.CorrelationXY, 1e-9, "cor(%s,%s)", v, vector(y))
		r.add(l.ResidualSD, 1e-11, "summary(%s)$sigma", fit)
		at, u, err := l.At(7.5)
		if err != nil {
			t.Fatal(err)
		}
		r.add(at, 1e-10, "predict(%s,data.frame(x=7.5))[[1]]", fit)
		r.add(u, 1e-10, "predict(%s,data.frame(x=7.5),se.fit=TRUE)$se.fit", fit)

		k, err := MannKendall(x)
		if err != nil {
			t.Fatal(err)
		}
		r.add(float64(k.S), 1e-15, "(function(x) sum(sign(outer(x,x,'-'))[lower.tri(diag(length(x)))]))(%s)", v)
		r.add(k.SenSlope, 1e-12,
			"(function(x) {i<-seq_along(x); m<-lower.tri(diag(length(x))); median((outer(x,x,'-')/outer(i,i,'-'))[m])})(%s)", v)

		c, err := ChangePoint(x)
		if err != nil {
			t.Fatal(err)
		}
		r.add(float64(c.After), 1e-15, "(function(x) which.max(abs(cumsum(x-mean(x))[-length(x)])))(%s)", v)
		r.add(c.PettittK, 1e-12, "(function(x) {n<-length(x); max(abs(2*cumsum(rank(x))-(1:n)*(n+1)))})(%s)", v)
	}
	for _, kn := range [][2]int{{0, 10}, {10, 10}, {1, 30}, {7, 24}, {500, 1000}} {
		lo, hi, err := FractionOut(kn[0], kn[1], 0.95)
		if err != nil {
			t.Fatal(err)
		}
		r.add(lo, 1e-8, "binom.test(%d,%d)$conf.int[1]", kn[0], kn[1])
		r.add(hi, 1e-8, "binom.test(%d,%d)$conf.int[2]", kn[0], kn[1])
	}
	r.run(t)
}

func TestStudyAgainstR(t *testing.T) {
	rng := freshSeed(t)
	var r rCheck
	for range 10 {
		p, o, k := 2+rng.IntN(8), 2+rng.IntN(3), 2+rng.IntN(3)
		readings := make([][][]float64, p)
		var y []float64
		for i := range readings {
			part := 3 * rng.NormFloat64()
			readings[i] = make([][]float64, o)
			for j := range readings[i] {
				cell := rng.NormFloat64()
				for range k {
					v := math.Round(1e4*(part+0.3*float64(j)+0.4*cell+0.2*rng.NormFloat64())) / 1e4
					readings[i][j] = append(readings[i][j], v)
					y = append(y, v)
				}
			}
		}
		s, err := CrossedStudy(readings)
		if err != nil {
			t.Fatal(err)
		}
		table := fmt.Sprintf("(function(y) anova(lm(y~a*b,data.frame(y=y,a=gl(%d,%d),b=gl(%d,%d,length(y))))))(%s)", p, o*k, o, k, vector(y))
		r.add(s.SSPart, 1e-9, "%s[1,2]", table)
		r.add(s.SSOperator, 1e-9, "%s[2,2]", table)
		r.add(s.SSInteraction, 1e-9, "%s[3,2]", table)
		r.add(s.SSRepeat, 1e-9, "%s[4,2]", table)
		r.add(s.FInteraction, 1e-9, "%s[3,4]", table)
		r.add(s.PInteraction, 1e-7, "%s[3,5]", table)
		// The table as decided: by aov without the interaction where it was pooled, else tested against it.
		stratum := fmt.Sprintf("(function(y) summary(aov(y~a+b,data.frame(y=y,a=gl(%d,%d),b=gl(%d,%d,length(y))))))(%s)[[1]]",
			p, o*k, o, k, vector(y))
		lines := s.Table()
		if s.Pooled {
			for i, l := range lines {
				r.add(l.MS, 1e-9, "%s[%d,3]", stratum, i+1)
			}
			r.add(lines[0].F, 1e-9, "%s[1,4]", stratum)
			r.add(lines[1].P, 1e-6, "%s[2,5]", stratum)
		} else {
			r.add(lines[0].F, 1e-9, "(function(y) {t<-anova(lm(y~a*b,data.frame(y=y,a=gl(%d,%d),b=gl(%d,%d,length(y))))); "+
				"t[1,3]/t[3,3]})(%s)", p, o*k, o, k, vector(y))
			r.add(lines[1].P, 1e-6, "(function(y) {t<-anova(lm(y~a*b,data.frame(y=y,a=gl(%d,%d),b=gl(%d,%d,length(y))))); "+
				"pf(t[2,3]/t[3,3],t[2,1],t[3,1],lower.tail=FALSE)})(%s)", p, o*k, o, k, vector(y))
		}
		// The upper bound by R's quantiles from the mean squares of anova.
		_, high, err := s.GaugeBounds(0.9)
		if err != nil {
			t.Fatal(err)
		}
		if sum := boundCentre(s); sum >= s.SDGauge*s.SDGauge*(1-1e-12) {
			r.add(high, 1e-9, "(function(y) {t<-anova(lm(y~a*b,data.frame(y=y,a=gl(%[1]d,%[2]d),b=gl(%[3]d,%[4]d,length(y))))); n<-t[2:4,1]; "+
				"m<-t[2:4,3]; w<-c(1,%[1]d-1,%[1]d*(%[4]d-1))/(%[1]d*%[4]d); if (%[6]d==1) {m<-c(m[1],(t[3,2]+t[4,2])/(n[2]+n[3])); "+
				"n<-c(n[1],n[2]+n[3]); w<-c(1,%[1]d*%[4]d-1)/(%[1]d*%[4]d)}; sqrt(sum(w*m)+sqrt(sum(((n/qchisq(.05,n)-1)*w*m)^2)))})(%[5]s)",
				p, o*k, o, k, vector(y), map[bool]int{true: 1}[s.Pooled])
		}
	}
	r.run(t)
}

// boundCentre is the weighted sum of mean squares that the gauge's bounds are laid around.
func boundCentre(s Study) float64 {
	lines, fp, fr := s.Table(), float64(s.Parts), float64(s.Repeats)
	if s.Pooled {
		return (lines[1].MS + (fp*fr-1)*lines[2].MS) / (fp * fr)
	}
	return (lines[1].MS + (fp-1)*lines[2].MS + fp*(fr-1)*lines[3].MS) / (fp * fr)
}

func TestGrubbsAgainstR(t *testing.T) {
	rng := freshSeed(t)
	var r rCheck
	for range 40 {
		n := 3 + rng.IntN(60)
		x, alpha := randomSeries(rng, n), math.Pow(10, -4*rng.Float64())/2
		v := vector(x)
		for side, form := range map[string][2]string{"max": {"max(x)-mean(x)", "1"},
			"min": {"mean(x)-min(x)", "1"}, "both": {"max(abs(x-mean(x)))", "2"}} {
			g, err := GrubbsTest(x, alpha, side)
			if err != nil {
				t.Fatal(err)
			}
			r.add(g.G, 1e-11, "(function(x) (%s)/sd(x))(%s)", form[0], v)
			r.add(g.Critical, 1e-9, "(function(n,t) (n-1)/sqrt(n)*sqrt(t^2/(n-2+t^2)))(%d,qt(%.17g/(%s*%d),%d,lower.tail=FALSE))",
				n, alpha, form[1], n, n-2)
		}
	}
	r.run(t)
}

func TestCircleAgainstR(t *testing.T) {
	rng := freshSeed(t)
	var r rCheck
	for range 10 {
		n := 6 + rng.IntN(20)
		half := 0.3 + 2.5*rng.Float64()
		var xs, ys []float64
		pts := make([][2]float64, n)
		for i := range pts {
			a := half * (2*rng.Float64() - 1)
			d := 100 + rng.NormFloat64()*0.5
			pts[i] = [2]float64{10 + d*math.Sin(a), 20 + d*math.Cos(a)}
			xs, ys = append(xs, pts[i][0]), append(ys, pts[i][1])
		}
		c, err := FitCircle(pts)
		if err != nil {
			t.Fatal(err)
		}
		fit := fmt.Sprintf("(function(x,y) {f<-function(q) {d<-sqrt((x-q[1])^2+(y-q[2])^2); sum((d-mean(d))^2)}; "+
			"o<-optim(c(10,20),f,control=list(reltol=1e-15,maxit=5000)); o<-optim(o$par,f,method='BFGS',control=list(reltol=1e-16)); "+
			"o})(%s,%s)", vector(xs), vector(ys))
		r.add(c.SS, 1e-8, "%s$value", fit)
		r.add(c.Y, 2e-3, "%s$par[2]", fit)
	}
	r.run(t)
}
