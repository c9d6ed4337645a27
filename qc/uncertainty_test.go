package qc

import (
	"errors"
	"math"
	"strings"
	"testing"

	"springline/qc/length"
)

func close6(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-6*math.Abs(want)) {
		t.Errorf("%s is %.9g, want %.9g", what, got, want)
	}
}

// Method of JCGM 100:2008 4.3.7, F.2.2.1 and G.4 for 2 m, a class II tape of 1 mm divisions, two readings
// of a repeatability of 0.8 mm on 9 degrees of freedom. Limit 0.7/sqrt 3, resolution 1/sqrt 12 and
// repeatability 0.8/sqrt 2 are arithmetic; k is t(0.975) of the whole degrees of freedom, from R 4.2: qt(.975, 27).
func TestBudgetOfATapeByParts(t *testing.T) {
	g := tape()
	g.RepeatSD, g.RepeatDOF = 800*length.Micrometre, 9
	b := NewBudget(g, Use{At: 2 * length.Metre, Readings: 2})
	close6(t, "limit", b.Limit, 0.404145188e6)
	close6(t, "resolution", b.Resolution, 0.288675135e6)
	close6(t, "repeatability", b.Repeat, 0.565685425e6)
	u := math.Sqrt(0.404145188*0.404145188+0.288675135*0.288675135+0.565685425*0.565685425) * 1e6
	close6(t, "combined", b.Combined(), u)
	e, err := b.Expand(0.95)
	if err != nil {
		t.Fatal(err)
	}
	close6(t, "degrees of freedom", e.Dof, math.Pow(u, 4)/(math.Pow(0.565685425e6, 4)/9))
	if math.Floor(e.Dof) != 28 {
		t.Errorf("%v degrees of freedom, want 28 and a bit (the temperature left out of 28.4)", e.Dof)
	}
	close6(t, "coverage", e.Coverage, 2.048407142) // R 4.2: qt(.975, 28)
	if s := b.Shares(); s[0].Name != PartRepeat || len(s) != 3 || math.Abs(s[0].Share+s[1].Share+s[2].Share-1) > 1e-12 {
		t.Errorf("shares are %v", s)
	}
}

// JCGM 100:2008, 4.3.7: a bound is divided by the root of 3. Two metres of steel at 11.5e-6 per kelvin (from
// memory), bar and tape each within 5 K; both together, where only the difference of the expansions counts; and as
// read at 35 and 30 °C within 2 K, where each expansion is in doubt by 1e-6 per kelvin, over 15 and 10 K.
func TestBoundsOfABudget(t *testing.T) {
	g := tape()
	c := Conditions{TemperatureHalfWidthK: 5, FaceHalfWidth: 2 * mmL}
	b := NewBudget(g, c.use(2*length.Metre, 3*mmL, 1, Temperatures{}))
	close6(t, "friction", b.Band, 1.732050808e6)
	close6(t, "face", b.Face, 1.154700538e6)
	close6(t, "temperature, each", b.Temperature, 115_000*math.Sqrt(2.0/3))
	close6(t, "combined", b.Combined(), math.Sqrt(0.404145188*0.404145188+1.0/12+3+4.0/3+0.0938971068*0.0938971068)*1e6)
	read := Temperatures{Seq: 1, Bar: 35, Tape: 30, Doubt: 2}
	close6(t, "temperature, read", NewBudget(g, c.use(2*length.Metre, 0, 1, read)).Temperature,
		2e9*math.Sqrt((2*23e-6*23e-6+18.02775638e-6*18.02775638e-6)/3))
	both := NewBudget(g, Use{At: 2 * length.Metre, AlphaTape: 11.5e-6, AlphaBar: 5e-6, BothK: 5})
	close6(t, "temperature, together", both.Temperature, 65_000/math.Sqrt(3))
	if both.RepeatDOF != 0 || both.Face != 0 || both.Band != 0 {
		t.Errorf("parts that were not in use: %+v", both)
	}
	names := []string{}
	for _, s := range b.Shares() {
		names = append(names, s.Name)
	}
	if got := strings.Join(names, ", "); got != strings.Join([]string{PartBand, PartFace, PartLimit, PartResolution, PartTemperature}, ", ") {
		t.Errorf("the parts from the largest are %s", got)
	}
}

// Without a study all parts are bounds and the coverage factor is that of the normal distribution.
func TestBudgetWithoutAStudyIsNormal(t *testing.T) {
	e, err := NewBudget(tape(), DefaultConditions.use(2*length.Metre, length.Millimetre, 2, Temperatures{})).Expand(0.95)
	if err != nil || !math.IsInf(e.Dof, 1) {
		t.Fatalf("%v degrees of freedom, %v", e.Dof, err)
	}
	close6(t, "coverage", e.Coverage, 1.959963985) // R 4.2: qnorm(.975)
}

// L (1/cos phi - 1) with sin phi = 20/2000: h^2/(2L) to first order, 0.1 mm.
func TestCosineErrorWorksOneWay(t *testing.T) {
	o, ok := cosine(tape(), 2*length.Metre)
	if !ok || o.Long < 99*length.Micrometre || o.Long > 101*length.Micrometre {
		t.Errorf("%s mm too long, %v; want 0.100", o.Long, ok)
	}
	if _, ok := cosine(depth(), 2*length.Metre); ok {
		t.Error("a caliper is not laid along a line")
	}
	if _, ok := cosine(tape(), 100*mmL); ok {
		t.Error("20 mm off is seen over 100 mm")
	}
}

// What the refusal offers is tried with the same rule: each offer is enough by itself, and a hair less of
// tolerance is not.
func TestWhatWouldProveATolerance(t *testing.T) {
	coarse := Gauge{ID: "tape", Kind: Tape, Class: "III", EndFace: true, Resolution: mmL, Measures: []Kind{TipToTip}}
	c := Characteristic{ID: Tip, Kind: TipToTip, Nominal: 2 * length.Metre,
		Lower: -1500 * length.Micrometre, Upper: 1500 * length.Micrometre, Repeats: 2}
	target := func(c Characteristic) Target { return Target{Round: []Characteristic{c}} }
	refused := func(c Characteristic, g Gauge) *CannotProveError {
		t.Helper()
		var cp *CannotProveError
		if err := target(c).CheckProvable([]Gauge{g}, DefaultDecision); err != nil && !errors.As(err, &cp) {
			t.Fatal(err)
		}
		return cp
	}
	cp := refused(c, coarse)
	if cp == nil || cp.Biggest != PartLimit || !offers(cp, "a class I tape") || offers(cp, "readings") {
		t.Fatalf("got %v", cp)
	}
	fine := coarse
	fine.Class, fine.EndFace = "I", false
	if cp := refused(c, fine); cp != nil {
		t.Errorf("the class I tape offered is refused too: %v", cp)
	}
	wide := c
	last := cp.Would[len(cp.Would)-1]
	l, err := length.Parse(strings.TrimPrefix(strings.TrimSuffix(last, " mm"), "a tolerance of at least ±"),
		length.Options{DefaultUnit: length.MM})
	if err != nil {
		t.Fatalf("%q: %v", last, err)
	}
	wide.Lower, wide.Upper = -l, l
	if cp := refused(wide, coarse); cp != nil {
		t.Errorf("the tolerance offered is refused too: %v", cp)
	}
	wide.Lower, wide.Upper = -cp.Guard, cp.Guard
	if refused(wide, coarse) == nil {
		t.Error("a tolerance as wide as the guard leaves nothing and was let through")
	}

	loose := fine
	loose.RepeatSD, loose.RepeatDOF = 2*mmL, 20
	cp = refused(c, loose)
	if cp == nil || cp.Biggest != PartRepeat || !offers(cp, "the mean of 6 readings") {
		t.Fatalf("got %v", cp)
	}
	more := c
	if more.Repeats = 6; refused(more, loose) != nil {
		t.Error("the 6 readings offered are refused too")
	}
	if more.Repeats = 5; refused(more, loose) == nil {
		t.Error("5 readings do as well: the offer is more than needed")
	}

	floppy := c
	floppy.Band = 3 * mmL
	if cp = refused(floppy, fine); cp == nil || cp.Biggest != PartBand || !offers(cp, "rests within ±1.4 mm") {
		t.Fatalf("got %v", cp)
	}
	if floppy.Band = 1400 * length.Micrometre; refused(floppy, fine) != nil {
		t.Error("the half-band offered is refused too")
	}
}

func offers(cp *CannotProveError, text string) bool {
	return strings.Contains(strings.Join(cp.Would, "; "), text)
}
