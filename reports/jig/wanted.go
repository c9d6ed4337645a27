package jig

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/qc/words"
)

// room is what is left free between the datum edges and the jig unless the centre is given, mm.
const room = 150

// Wanted is what a jig is wanted for. Lengths in mm.
type Wanted struct {
	Name    string // of the rib; may be empty
	Batch   string // empty where it does not come from a record
	Lot     string
	BarText string     // bar and grade as bought
	Order   bend.Order // GradeYield and Wanted are 0 where unknown
	Tests   []bend.Test
	Face    arch.Face // on which tip-to-tip is measured
	Blocks  int       // 0 for as few as keep the arc even
	Feet    bool      // feet and inches stand beside millimetres
	Notes   []string
}

// ForTarget takes what a target says of the jig.
func ForTarget(t qc.Target) Wanted {
	w := Wanted{Name: t.Name, BarText: strings.TrimSpace(fmt.Sprintf("%s mm %s", t.Bar.Diameter, t.Bar.Grade)),
		Order: t.BendOrder(), Face: t.Face.Arch()}
	if width, clear, err := t.AboveGround(); t.Buried > 0 && err == nil {
		w.Notes = append(w.Notes, fmt.Sprintf("with the tips buried %s mm the finished rib stands %.0f mm clear under its crown and "+
			"%.0f mm wide at the ground between bar centres", t.Buried, math.Floor(clear), width))
	}
	return w
}

// ForBatch takes what a record says of the jig for the next bar of a lot, that of the last rib where none is named.
func ForBatch(b qc.Batch, lot string) Wanted {
	w := ForTarget(b.Target)
	w.Batch, w.Lot, w.Tests = b.ID, lot, b.Tests()
	if w.Lot == "" && len(b.Ribs) > 0 {
		w.Lot = b.Ribs[len(b.Ribs)-1].Lot
	}
	if n := len(b.Jigs); n > 0 {
		w.Blocks = b.Jigs[n-1].Blocks
	}
	w.Feet = InFeet(b.Gauges)
	return w
}

// InFeet says whether one of the gauges reads tip-to-tip in inches or feet.
func InFeet(gauges []qc.Gauge) bool {
	for _, g := range gauges {
		if g.Covers(qc.TipToTip) && (g.Unit == "in" || g.Unit == "ft") {
			return true
		}
	}
	return false
}

// Sufficient says whether the bar's springback can be worked out.
func (w Wanted) Sufficient() bool { return w.Order.GradeYield > 0 && w.Order.Wanted > 0 }

// FaceTip turns a tip-to-tip at the centreline into one on the face that is measured.
func (w Wanted) FaceTip(centre float64) float64 {
	o := w.Order
	r, err := arch.RadiusFromTip(centre, o.Leg, o.Arc)
	if err != nil {
		r = o.Wanted
	}
	if r == 0 {
		return centre
	}
	return arch.TipAt(w.Face, centre, o.Diameter, o.Arc/(2*r))
}

// OnFace says where tip-to-tip is measured.
func (w Wanted) OnFace() string {
	if w.Face == arch.Centre {
		return "at the centreline"
	}
	return "on the " + w.Face.String()
}

// Length is a length in millimetres, with feet and inches behind it where the job is in them.
func (w Wanted) Length(mm float64, places int) string {
	text := words.Decimals(mm, places) + " mm"
	if w.Feet {
		text += " (" + feet(mm) + ")"
	}
	return text
}

func feet(mm float64) string {
	l, err := length.FromMM(mm)
	if err != nil {
		return "—"
	}
	return words.Minus(l.FeetInches(16))
}

// Layout is what is asked of a jig.
type Layout struct {
	Face   float64     // radius of the block faces, 0 as advised
	Centre *[2]float64 // of the arc from the datum corner, nil with room for all
	Half   bool        // for one half of the arc, to be bent one half at a time
}

// ErrNoRadius says that no face radius is given and none can be advised.
var ErrNoRadius = errors.New("the face radius is not given, and the bar's yield and the rib wanted are not both known, so it " +
	"cannot be advised")

// Sheet puts together all that is said of the jig, in the name of a program. It fails with [ErrNoRadius], when
// the bends so far do not fit the order, and when no jig of that layout can be built.
func (w Wanted) Sheet(l Layout, software string) (Sheet, error) {
	s := Sheet{Wanted: w, Software: software}
	spec := bend.PlanSpec{Diameter: w.Order.Diameter, Leg: w.Order.Leg, Arc: w.Order.Arc, Blocks: w.Blocks, Face: l.Face,
		Centre: l.Centre, Room: room, Half: l.Half, Yield: w.Order.GradeYield}
	if l.Face > 0 {
		s.Origin = "The face radius is as asked for."
	}
	if !w.Sufficient() && l.Face == 0 {
		return s, ErrNoRadius
	}
	if w.Sufficient() {
		a, err := w.Order.Advise(w.Lot, w.Tests)
		switch {
		case err != nil && l.Face == 0:
			return s, fmt.Errorf("advise the jig for lot %q: %w", w.Lot, err)
		case err != nil:
		case l.Face == 0:
			spec.Face, s.UFace, s.Retest = math.Round(a.Face*10)/10, a.UFace, a.Retest
			s.Origin = origin(a)
		default:
			s.Retest = a.Retest
			s.Origin += fmt.Sprintf(" The bench would advise %.1f ± %.1f mm.", a.Face, 2*a.UFace)
		}
		e, err := w.Order.Expect(w.Lot, w.Tests, spec.Face)
		if err != nil {
			return s, fmt.Errorf("work out what the bar does on the jig: %w", err)
		}
		s.Expected, spec.Yield = &e, e.Yield
		if s.Rules, err = w.Order.Rules(w.Lot, w.Tests); err != nil {
			return s, err
		}
	}
	var err error
	if s.Plan, err = bend.Draw(spec); err != nil {
		return s, fmt.Errorf("lay the jig out: %w", err)
	}
	return s, nil
}

// origin says what an advised radius rests on.
func origin(a bend.Advice) string {
	from := "the yield that the grade promises alone: no bar of this lot has been bent yet"
	switch {
	case a.Bars == 1:
		from = "one bar of this lot, as it came off the jig"
	case a.Bars > 1:
		from = fmt.Sprintf("%d bars of this lot, as they came off the jig", a.Bars)
	}
	s := "The face radius is advised from " + from + "."
	if a.Bias > 0.5 {
		s += fmt.Sprintf(" It is aimed %.0f mm closed, because opening a rib takes a fraction of the travel that closing takes.", a.Bias)
	}
	return s
}
