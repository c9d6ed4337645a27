package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/reports/jig"
)

// jigFlags say where a jig's job comes from: a record, a job file, or the flags themselves.
type jigFlags struct {
	data, batch, lot, job                               string
	bar, barLength, leg, arc, span, crown, radius, face string
	yield, angle                                        float64
	tests                                               []string
	feet                                                bool
}

func (f *jigFlags) add(c *cobra.Command) {
	c.Flags().StringVar(&f.data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&f.batch, "batch", "", "batch on record; the latest when left out")
	c.Flags().StringVar(&f.lot, "lot", "", "stock lot of the next bar; that of the last rib when left out")
	c.Flags().StringVar(&f.job, "job", "", "job file to take the target from, before there is a record")
	c.Flags().StringVar(&f.bar, "bar", "", `bar diameter, or a US number such as "No. 4"`)
	c.Flags().StringVar(&f.barLength, "bar-length", "", "whole bar: what the arc leaves over goes into both legs")
	c.Flags().StringVar(&f.leg, "leg", "", "one straight leg")
	c.Flags().StringVar(&f.arc, "arc", "", "arc length along the bar's centreline")
	c.Flags().StringVar(&f.span, "span", "", "wanted tip-to-tip, on --face")
	c.Flags().StringVar(&f.crown, "crown", "", "wanted crown height above the ends' middle, on --face")
	c.Flags().StringVar(&f.radius, "radius", "", "wanted centreline radius after release")
	c.Flags().Float64Var(&f.angle, "angle", 0, "wanted arc angle in degrees")
	c.Flags().StringVar(&f.face, "face", "centre", "face that span and tips are measured on: centre, inside or outside")
	c.Flags().Float64Var(&f.yield, "yield", 0, "yield strength that the grade promises, MPa")
	c.Flags().StringArrayVar(&f.tests, "test", nil, `a bar bent already, as "jig face radius = tip-to-tip"; may be repeated`)
	c.Flags().BoolVar(&f.feet, "feet", false, "show feet and inches beside millimetres")
}

func (f jigFlags) work(ctx context.Context, sys system) (jig.Wanted, error) {
	switch {
	case f.bar+f.barLength+f.leg+f.arc+f.span+f.crown+f.radius != "" || f.angle != 0:
		if f.job != "" || f.batch != "" {
			return jig.Wanted{}, usageError{errors.New("jig: a job file or a record already says what is wanted; " +
				"leave --bar, --arc and their like out")}
		}
		return f.fromFlags()
	case f.job != "":
		j, err := readJob(f.job)
		if err != nil {
			return jig.Wanted{}, err
		}
		w := jig.ForTarget(j.Target)
		w.Batch, w.Lot, w.Blocks, w.Feet = j.Batch.ID, cmp.Or(f.lot, j.Batch.Lot), j.Jig.Blocks, f.feet
		for _, g := range j.Gauges {
			w.Feet = w.Feet || jig.InFeet([]qc.Gauge{g.Gauge})
		}
		return w, nil
	}
	b, err := readBatch(ctx, sys, f.data, f.batch, 0)
	if err != nil {
		return jig.Wanted{}, fmt.Errorf("%w (without a record: --job FILE, or --bar, --arc and their like)", err)
	}
	w := jig.ForBatch(b, f.lot)
	w.Feet = w.Feet || f.feet
	return w, nil
}

var usNumber = regexp.MustCompile(`(?i)^(?:no\.?|#)\s*(\d+)$`)

// barSize reads a diameter or a US bar number.
func barSize(text string) (mm float64, name string, err error) {
	if m := usNumber.FindStringSubmatch(strings.TrimSpace(text)); m != nil {
		for _, s := range bend.Sizes() {
			if strings.HasPrefix(s.Name, "No. "+m[1]+" ") {
				return s.Diameter, fmt.Sprintf("%s, %g mm", s.Name, s.Diameter), nil
			}
		}
		return 0, "", fmt.Errorf("--bar: %q is no bar number known here (No. 3 to No. 11)", text)
	}
	l, err := length.Parse(text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		return 0, "", fmt.Errorf("--bar: %w", err)
	}
	return l.MM(), fmt.Sprintf("%s mm round", l), nil
}

func (f jigFlags) fromFlags() (jig.Wanted, error) {
	w := jig.Wanted{Lot: f.lot, Feet: f.feet, Order: bend.Order{Modulus: qc.SteelModulus, GradeYield: f.yield}}
	if f.bar == "" {
		return w, usageError{errors.New("jig: --bar is missing: give the bar's diameter")}
	}
	var err error
	if w.Order.Diameter, w.BarText, err = barSize(f.bar); err != nil {
		return w, usageError{err}
	}
	switch f.face {
	case "centre":
	case "inside":
		w.Face = arch.Inside
	case "outside":
		w.Face = arch.Outside
	default:
		return w, usageError{fmt.Errorf("jig: --face %q is not centre, inside or outside", f.face)}
	}
	k := arch.Known{Diameter: w.Order.Diameter, SpanFace: w.Face, CrownFace: w.Face}
	for _, x := range []struct {
		flag, text string
		to         **float64
	}{
		{"bar-length", f.barLength, &k.BarLength}, {"leg", f.leg, &k.Leg}, {"arc", f.arc, &k.Arc},
		{"span", f.span, &k.Span}, {"crown", f.crown, &k.Crown}, {"radius", f.radius, &k.Radius},
	} {
		if x.text == "" {
			continue
		}
		v, err := f.length(&w, x.flag, x.text)
		if err != nil {
			return w, err
		}
		*x.to = &v
	}
	if f.angle != 0 {
		turn := f.angle * math.Pi / 180
		k.ArcTurn = &turn
	}
	rib, err := k.Solve(0.5)
	var few *arch.NotEnoughError
	switch {
	case err == nil:
		w.Order.Leg, w.Order.Arc, w.Order.Wanted = rib.Leg, rib.Arc, rib.Radius
	case errors.As(err, &few) && k.Arc != nil:
		// An arc alone is enough to lay blocks out; what is wanted of the bar is then not known.
		w.Order.Arc = *k.Arc
		if k.Leg != nil {
			w.Order.Leg = *k.Leg
		} else if k.BarLength != nil {
			if w.Order.Leg, err = arch.NoWasteLeg(*k.BarLength, *k.Arc); err != nil {
				return w, usageError{fmt.Errorf("jig: %w", err)}
			}
		}
		if k.Radius != nil {
			w.Order.Wanted = *k.Radius
		}
	default:
		return w, usageError{fmt.Errorf("jig: work out the rib wanted: %w", err)}
	}
	for _, text := range f.tests {
		t, err := f.test(&w, text)
		if err != nil {
			return w, err
		}
		w.Tests = append(w.Tests, t)
	}
	return w, nil
}

// length reads a flag in mm, 0 where it is not given; one typed in feet or inches asks for feet and inches in
// what is shown.
func (f jigFlags) length(w *jig.Wanted, flag, text string) (float64, error) {
	if text == "" {
		return 0, nil
	}
	l, err := length.Parse(text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		return 0, usageError{fmt.Errorf("--%s: %w", flag, err)}
	}
	if strings.ContainsAny(text, `'"`) || strings.Contains(text, "in") || strings.Contains(text, "ft") {
		w.Feet = true
	}
	return l.MM(), nil
}

// testDoubt is the standard uncertainty of a tip-to-tip typed without more, mm: tape and one laying.
const testDoubt = 3

func (f jigFlags) test(w *jig.Wanted, text string) (bend.Test, error) {
	radius, tip, ok := strings.Cut(text, "=")
	if !ok {
		return bend.Test{}, usageError{fmt.Errorf(`--test: %q is not of the form "face radius = tip-to-tip"`, text)}
	}
	r, err := f.length(w, "test", strings.TrimSpace(radius))
	if err != nil {
		return bend.Test{}, err
	}
	t, err := f.length(w, "test", strings.TrimSpace(tip))
	if err != nil {
		return bend.Test{}, err
	}
	// The face moves the reading by d sin phi with the rib's own half angle, which the reading gives.
	centre := t
	for range 3 {
		if rf, err := arch.RadiusFromTip(centre, w.Order.Leg, w.Order.Arc); err == nil {
			centre = arch.TipFrom(w.Face, t, w.Order.Diameter, w.Order.Arc/(2*rf))
		}
	}
	return bend.Test{Lot: w.Lot, Face: r, Tip: centre, UTip: testDoubt, UCrown: testDoubt}, nil
}
