package data

import (
	"strconv"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

func rfc(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339Nano)
}

// New makes the document of a judged batch and what its ribs say together, under the name of its report and in
// the name of a program.
func New(b qc.Judged, f qc.Findings, report, software string) Document {
	d := Document{
		Schema: Schema, Report: report, Software: software,
		Batch: Batch{ID: b.ID, Title: b.Title, Place: b.Place, Maker: b.Maker, Planned: b.Planned,
			Lots: []Lot{}, Opened: rfc(b.Opened), Closed: rfc(b.Closed), AsOf: rfc(b.AsOf)},
		Rule: Rule{Rule: string(b.Decision.Rule), Confidence: strconv.FormatFloat(b.Decision.Confidence, 'f', -1, 64),
			Guard: b.Decision.GuardFactor(), Covers: []string{}, Limits: "inclusive"},
		Target: docTarget(b),
		Gauges: []Gauge{}, Verdicts: []Count{}, Ribs: []Rib{}, Pairs: []Pair{},
		Spares: append([]string{}, b.Spares...), SpareWhy: b.SpareWhy,
		Counts: Counts{b.Counts.Measured, b.Counts.Again, b.Counts.Voided, b.Counts.Typed, b.Counts.Held, b.Counts.Refused,
			b.Counts.Skipped, b.Counts.Discarded},
		Measurements: docMeasurements(b), Studies: docStudies(f.Studies), RunOrder: orderOf(b.Order),
		Record: Record{b.Record.Bench, b.Record.Epoch, b.Record.First, b.Record.Last, b.Record.Head},
	}
	d.Budgets, d.Jig, d.Fit = docBudgets(f.Proofs), docJig(f), docFits(f.Fits)
	for _, c := range b.Target.Round {
		d.Rule.Covers = append(d.Rule.Covers, string(c.ID))
	}
	for _, l := range b.Lots {
		d.Batch.Lots = append(d.Batch.Lots, Lot{l.ID, l.Heat, l.Grade, int64(l.BarLength), l.BarLength.String()})
	}
	for _, g := range b.Gauges {
		dg := Gauge{ID: g.ID, Name: g.Name, Kind: string(g.Kind), Class: string(g.Class), Unit: g.Unit, ResolutionNM: int64(g.Resolution),
			ResolutionMM: g.Resolution.String(), Measures: []string{}, Checked: rfc(g.Checked), Due: rfc(g.Due),
			State: g.Calibration(b.AsOf).Label(), Note: g.Note()}
		for _, k := range g.Measures {
			dg.Measures = append(dg.Measures, string(k))
		}
		d.Gauges = append(d.Gauges, dg)
	}
	for _, word := range qc.Words() {
		d.Verdicts = append(d.Verdicts, Count{string(word), len(b.With(word))})
	}
	for _, r := range b.ByNeed {
		d.Ribs = append(d.Ribs, docRib(r))
	}
	for _, p := range b.Pairs {
		d.Pairs = append(d.Pairs, Pair{p.A, p.B, p.Flip, p.MismatchNM, length.Length(p.MismatchNM).String(),
			b.TagLegs(p), p.Locked, p.ConfirmedBy, rfc(p.At)})
	}
	return d
}

func docTarget(b qc.Judged) Target {
	t := b.Target
	d := Target{ID: t.ID, Revision: t.Revision, Name: t.Name, Grade: t.Bar.Grade, Face: string(t.Face),
		DiameterNM: int64(t.Bar.Diameter), DiameterMM: t.Bar.Diameter.String(), LegNM: int64(t.Leg), LegMM: t.Leg.String(),
		ArcNM: int64(t.Arc), ArcMM: t.Arc.String(), RadiusNM: int64(t.Radius), RadiusMM: t.Radius.String(), Round: []Char{}}
	for _, c := range t.Round {
		d.Round = append(d.Round, Char{string(c.ID), c.Label(), string(c.Kind), string(c.Face), int64(c.Nominal), c.Nominal.String(),
			int64(c.Lower), c.Lower.String(), int64(c.Upper), c.Upper.String(), c.Repeats, decimals(b.Step(c.ID))})
	}
	return d
}

// decimals is how many of a millimetre a step has.
func decimals(step length.Length) int {
	n := 0
	for ; step < length.Millimetre; step *= 10 {
		n++
	}
	return n
}

func docRib(r qc.JudgedRib) Rib {
	d := Rib{ID: r.ID, Order: r.Order, Lot: r.Lot, Jig: r.Jig, Round: r.Round, Verdict: string(r.Verdict.Word),
		Direction: string(r.Verdict.Direction), Worst: string(r.Verdict.Worst), Reason: words.English.Say(r.Verdict.Why), Chars: []Deviation{}}
	for _, j := range r.Verdict.Chars {
		x := Deviation{Char: string(j.Char.ID), Lane: "open"}
		switch {
		case j.Measured:
			x.Lane, x.Gauge = string(j.Lane), j.Dev.Gauge
			x.Conformity = strconv.FormatFloat(j.Conformity, 'f', 4, 64)
			x.Numbers = &Numbers{int64(j.Dev.Value), j.Dev.Value.String(), int64(j.Dev.Dev), j.Dev.Dev.String(), int64(j.U),
				int64(2 * j.U), (2 * j.U).String(), int64(j.Guard), int64(j.Dev.HalfBand), j.Dev.Readings}
		case j.Skipped:
			x.Lane = "skipped"
		}
		d.Chars = append(d.Chars, x)
	}
	return d
}

func docMeasurements(b qc.Judged) []Measure {
	out := []Measure{}
	for _, r := range b.InOrder {
		for _, m := range r.Measurements {
			state := "counts"
			switch {
			case m.Voided:
				state = "voided"
			case m.Replaced:
				state = "replaced"
			}
			out = append(out, Measure{m.Seq, rfc(m.At), r.ID, string(m.Char), m.Round, int64(m.Value), m.Value.String(), m.Text, m.Unit,
				m.Gauge, string(m.Entry), m.By, state, m.VoidReason, m.Cause, int64(m.To20)})
		}
	}
	return out
}

func orderOf(o *qc.RunOrder) *Order {
	if o == nil {
		return nil
	}
	d := &Order{Pairs: []Stand{}, LengthNM: int64(o.Length), LowerBound: int64(o.Bound), ConfirmedBy: o.By, At: rfc(o.At)}
	for _, s := range o.Stands {
		d.Pairs = append(d.Pairs, Stand{s.A, s.B, s.Turned})
	}
	return d
}
