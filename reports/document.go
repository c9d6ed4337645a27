package reports

import (
	"strconv"
	"time"

	"springline/qc"
	"springline/qc/length"
)

// Schema names the JSON form. The number after the slash changes when a field changes its meaning or
// goes; new fields may come without.
const Schema = "springline.report/1"

// Document is the report for programs. Lengths are whole nanometres (_nm) with their exact decimal
// text in millimetres beside them (_mm); times are RFC 3339; there are no binary fractions.
type Document struct {
	Schema       string       `json:"schema"`
	Report       string       `json:"report"`
	Software     string       `json:"software"`
	Batch        DocBatch     `json:"batch"`
	Rule         DocRule      `json:"decision_rule"`
	Target       DocTarget    `json:"target"`
	Gauges       []DocGauge   `json:"gauges"`
	Verdicts     []DocCount   `json:"verdicts"`
	Ribs         []DocRib     `json:"ribs"`
	Pairs        []DocPair    `json:"pairs"`
	RunOrder     *DocOrder    `json:"run_order,omitempty"`
	Spares       []string     `json:"spares"`
	SpareWhy     []string     `json:"spare_reasons,omitempty"` // of each spare, in that order
	Counts       DocCounts    `json:"counts"`
	Measurements []DocMeasure `json:"measurements"`
	Budgets      []DocBudget  `json:"uncertainty_budgets"`
	Jig          DocJig       `json:"jig_in_bend_order"`
	Fit          []DocFit     `json:"ribs_off_the_jig"`
	Studies      []DocStudy   `json:"gauge_studies,omitempty"`
	Record       DocRecord    `json:"record"`
}

// DocBatch is the heading.
type DocBatch struct {
	ID      string   `json:"id"`
	Title   string   `json:"title"`
	Place   string   `json:"place"`
	Maker   string   `json:"maker"`
	Planned int      `json:"planned"`
	Lots    []DocLot `json:"lots"`
	Opened  string   `json:"opened,omitempty"`
	Closed  string   `json:"closed,omitempty"`
	AsOf    string   `json:"as_of"`
}

// DocLot is a stock lot.
type DocLot struct {
	ID    string `json:"id"`
	Heat  string `json:"heat"`
	Grade string `json:"grade"`
	BarNM int64  `json:"bar_length_nm"`
	BarMM string `json:"bar_length_mm"`
}

// DocRule is the decision rule.
type DocRule struct {
	Rule       string   `json:"rule"`
	Confidence string   `json:"confidence"`
	Guard      string   `json:"guard_factor"` // times the standard uncertainty
	Covers     []string `json:"covers"`
	Limits     string   `json:"limits"`
}

// DocTarget is the wanted rib.
type DocTarget struct {
	ID         string    `json:"id"`
	Revision   int       `json:"revision"`
	Name       string    `json:"name"`
	Grade      string    `json:"grade"`
	Face       string    `json:"face"`
	DiameterNM int64     `json:"bar_diameter_nm"`
	DiameterMM string    `json:"bar_diameter_mm"`
	LegNM      int64     `json:"leg_nm"`
	LegMM      string    `json:"leg_mm"`
	ArcNM      int64     `json:"arc_nm"`
	ArcMM      string    `json:"arc_mm"`
	RadiusNM   int64     `json:"radius_nm"`
	RadiusMM   string    `json:"radius_mm"`
	Round      []DocChar `json:"characteristics"`
}

// DocChar is a characteristic with its limits.
type DocChar struct {
	ID        string `json:"id"`
	Label     string `json:"label"`
	Kind      string `json:"kind"`
	Face      string `json:"face"`
	NominalNM int64  `json:"wanted_nm"`
	NominalMM string `json:"wanted_mm"`
	LowerNM   int64  `json:"lower_limit_nm"`
	LowerMM   string `json:"lower_limit_mm"`
	UpperNM   int64  `json:"upper_limit_nm"`
	UpperMM   string `json:"upper_limit_mm"`
	Readings  int    `json:"readings"`
	Places    int    `json:"printed_decimals"`
}

// DocGauge is a gauge as of the report.
type DocGauge struct {
	ID           string   `json:"id"`
	Name         string   `json:"name"`
	Kind         string   `json:"kind"`
	Class        string   `json:"class,omitempty"`
	Unit         string   `json:"unit"`
	ResolutionNM int64    `json:"resolution_nm"`
	ResolutionMM string   `json:"resolution_mm"`
	Measures     []string `json:"measures"`
	Checked      string   `json:"checked,omitempty"`
	Due          string   `json:"due,omitempty"`
	State        string   `json:"state"`
	Note         string   `json:"note,omitempty"`
}

// DocCount is the number of ribs with a verdict.
type DocCount struct {
	Verdict string `json:"verdict"`
	Ribs    int    `json:"ribs"`
}

// DocRib is a rib with its verdict, out of tolerance first.
type DocRib struct {
	ID        string         `json:"id"`
	Order     int            `json:"bend_order"`
	Lot       string         `json:"lot"`
	Jig       string         `json:"jig"`
	Round     int            `json:"round"`
	Verdict   string         `json:"verdict"`
	Direction string         `json:"direction,omitempty"`
	Worst     string         `json:"worst,omitempty"`
	Reason    string         `json:"reason"`
	Chars     []DocDeviation `json:"deviations"`
}

// DocDeviation is one characteristic of a rib. Lane is in, out, unsure, open or skipped; the numbers
// stand only where it was measured.
type DocDeviation struct {
	Char       string   `json:"characteristic"`
	Lane       string   `json:"lane"`
	Numbers    *Numbers `json:"numbers,omitempty"`
	Gauge      string   `json:"gauge,omitempty"`
	Conformity string   `json:"conformity_probability,omitempty"` // of the true value being within the limits
}

// Numbers of a deviation. U is 2 u.
type Numbers struct {
	ValueNM     int64  `json:"measured_nm"`
	ValueMM     string `json:"measured_mm"`
	DeviationNM int64  `json:"deviation_nm"`
	DeviationMM string `json:"deviation_mm"`
	StandardNM  int64  `json:"standard_uncertainty_nm"`
	ExpandedNM  int64  `json:"expanded_uncertainty_nm"`
	ExpandedMM  string `json:"expanded_uncertainty_mm"`
	GuardNM     int64  `json:"guard_nm"`
	HalfBandNM  int64  `json:"friction_half_band_nm"`
	Readings    int    `json:"readings"`
}

// DocPair is a confirmed pair.
type DocPair struct {
	Left        string `json:"left"`
	Right       string `json:"right"`
	Flip        bool   `json:"right_turned_end_for_end"`
	MismatchNM  int64  `json:"mismatch_nm"`
	MismatchMM  string `json:"mismatch_mm"`
	TagLegs     string `json:"tag_legs"` // of the left and of the right rib: they stand on one side
	Locked      bool   `json:"locked,omitempty"`
	ConfirmedBy string `json:"confirmed_by"`
	At          string `json:"at,omitempty"`
}

// DocOrder is the confirmed order of the pairs along the structure.
type DocOrder struct {
	Pairs       []DocStand `json:"pairs"`
	LengthNM    int64      `json:"length_nm"`
	LowerBound  int64      `json:"lower_bound_nm"` // no order has smaller steps in all
	ConfirmedBy string     `json:"confirmed_by"`
	At          string     `json:"at,omitempty"`
}

// DocStand is one pair in the run order.
type DocStand struct {
	Left   string `json:"left"`
	Right  string `json:"right"`
	Turned bool   `json:"turned_end_for_end"`
}

func orderOf(o *qc.RunOrder) *DocOrder {
	if o == nil {
		return nil
	}
	d := &DocOrder{Pairs: []DocStand{}, LengthNM: int64(o.Length), LowerBound: int64(o.Bound), ConfirmedBy: o.By, At: rfc(o.At)}
	for _, s := range o.Stands {
		d.Pairs = append(d.Pairs, DocStand{s.A, s.B, s.Turned})
	}
	return d
}

// DocCounts says how the values came about.
type DocCounts struct {
	Measured  int `json:"measured"`
	Again     int `json:"taken_again"`
	Voided    int `json:"voided"`
	Typed     int `json:"typed"`
	Held      int `json:"held"`
	Refused   int `json:"refused"`
	Skipped   int `json:"skipped"`
	Discarded int `json:"discarded"`
}

// DocMeasure is one value on record, in bend order of its rib and then as recorded.
type DocMeasure struct {
	Seq        int64  `json:"record"`
	At         string `json:"at"`
	Rib        string `json:"rib"`
	Char       string `json:"characteristic"`
	Round      int    `json:"round"`
	ValueNM    int64  `json:"value_nm"`
	ValueMM    string `json:"value_mm"`
	Received   string `json:"received"`
	Unit       string `json:"unit"`
	Gauge      string `json:"gauge"`
	Entry      string `json:"entry"`
	By         string `json:"by"`
	State      string `json:"state"` // counts, voided or replaced
	VoidReason string `json:"void_reason,omitempty"`
	Cause      string `json:"cause,omitempty"`      // why it counts although it disagrees with its repeats
	To20NM     int64  `json:"to_20_c_nm,omitempty"` // what correcting to 20 °C adds
}

// DocRecord is the stretch of the record behind the report.
type DocRecord struct {
	Bench string `json:"bench"`
	Epoch int64  `json:"epoch"`
	First int64  `json:"first"`
	Last  int64  `json:"last"`
	Head  string `json:"head_sha256"`
}

func rfc(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format(time.RFC3339Nano)
}

func document(w work, m Model) Document {
	b := w.b
	d := Document{
		Schema: Schema, Report: m.ID, Software: m.Software,
		Batch: DocBatch{ID: b.ID, Title: b.Title, Place: b.Place, Maker: b.Maker, Planned: b.Planned,
			Lots: []DocLot{}, Opened: rfc(b.Opened), Closed: rfc(b.Closed), AsOf: rfc(b.AsOf)},
		Rule: DocRule{Rule: string(b.Decision.Rule), Confidence: strconv.FormatFloat(b.Decision.Confidence, 'f', -1, 64),
			Guard: "0", Covers: []string{}, Limits: "inclusive"},
		Target: docTarget(w),
		Gauges: []DocGauge{}, Verdicts: []DocCount{}, Ribs: []DocRib{}, Pairs: []DocPair{}, Spares: append([]string{}, b.Spares...), SpareWhy: b.SpareWhy,
		Counts: DocCounts{b.Counts.Measured, b.Counts.Again, b.Counts.Voided, b.Counts.Typed, b.Counts.Held, b.Counts.Refused,
			b.Counts.Skipped, b.Counts.Discarded},
		Measurements: docMeasurements(w), Studies: docStudies(w), RunOrder: orderOf(b.Order),
		Record: DocRecord{b.Record.Bench, b.Record.Epoch, b.Record.First, b.Record.Last, b.Record.Head},
	}
	d.Budgets, d.Jig, d.Fit = docBudgets(w), docJig(w), docFits(w)
	if b.Decision.Rule == qc.Proven {
		d.Rule.Guard = factor(b.Decision.Confidence)
	}
	for _, c := range b.Target.Round {
		d.Rule.Covers = append(d.Rule.Covers, string(c.ID))
	}
	for _, l := range b.Lots {
		d.Batch.Lots = append(d.Batch.Lots, DocLot{l.ID, l.Heat, l.Grade, int64(l.BarLength), l.BarLength.String()})
	}
	for _, g := range b.Gauges {
		dg := DocGauge{ID: g.ID, Name: g.Name, Kind: string(g.Kind), Class: string(g.Class), Unit: g.Unit, ResolutionNM: int64(g.Resolution),
			ResolutionMM: g.Resolution.String(), Measures: []string{}, Checked: rfc(g.Checked), Due: rfc(g.Due),
			State: string(g.Calibration(b.AsOf)), Note: g.Note()}
		for _, k := range g.Measures {
			dg.Measures = append(dg.Measures, string(k))
		}
		d.Gauges = append(d.Gauges, dg)
	}
	for _, word := range qc.Words() {
		d.Verdicts = append(d.Verdicts, DocCount{string(word), w.count(word)})
	}
	for _, r := range w.ribs {
		d.Ribs = append(d.Ribs, docRib(r))
	}
	for _, p := range b.Pairs {
		d.Pairs = append(d.Pairs, DocPair{p.A, p.B, p.Flip, p.MismatchNM, length.Length(p.MismatchNM).String(), w.tag(p), p.Locked, p.ConfirmedBy, rfc(p.At)})
	}
	return d
}

func docTarget(w work) DocTarget {
	t := w.b.Target
	d := DocTarget{ID: t.ID, Revision: t.Revision, Name: t.Name, Grade: t.Bar.Grade, Face: string(t.Face),
		DiameterNM: int64(t.Bar.Diameter), DiameterMM: t.Bar.Diameter.String(), LegNM: int64(t.Leg), LegMM: t.Leg.String(),
		ArcNM: int64(t.Arc), ArcMM: t.Arc.String(), RadiusNM: int64(t.Radius), RadiusMM: t.Radius.String(), Round: []DocChar{}}
	for _, c := range t.Round {
		d.Round = append(d.Round, DocChar{string(c.ID), c.Label(), string(c.Kind), string(c.Face), int64(c.Nominal), c.Nominal.String(),
			int64(c.Lower), c.Lower.String(), int64(c.Upper), c.Upper.String(), c.Repeats, w.places[c.ID]})
	}
	return d
}

func docRib(r judged) DocRib {
	d := DocRib{ID: r.ID, Order: r.Order, Lot: r.Lot, Jig: r.Jig, Round: r.Round, Verdict: string(r.v.Word),
		Direction: string(r.v.Direction), Worst: string(r.v.Worst), Reason: r.v.Reason, Chars: []DocDeviation{}}
	for _, j := range r.v.Chars {
		x := DocDeviation{Char: string(j.Char.ID), Lane: "open"}
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

func docMeasurements(w work) []DocMeasure {
	out := []DocMeasure{}
	for _, r := range w.bent {
		for _, m := range r.Measurements {
			state := "counts"
			switch {
			case m.Voided:
				state = "voided"
			case m.Replaced:
				state = "replaced"
			}
			out = append(out, DocMeasure{m.Seq, rfc(m.At), r.ID, string(m.Char), m.Round, int64(m.Value), m.Value.String(), m.Text, m.Unit,
				m.Gauge, string(m.Entry), m.By, state, m.VoidReason, m.Cause, int64(m.To20)})
		}
	}
	return out
}
