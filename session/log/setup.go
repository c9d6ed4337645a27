package log

import (
	"time"

	"springline/qc"
	"springline/qc/length"
)

// EpochBody opens an epoch: a stretch of the record written by one installation without a restore.
// After is the chain value of the last record before it, empty for the first epoch.
type EpochBody struct {
	Software string `json:"software"`
	Reason   string `json:"reason"`
	After    string `json:"after,omitempty"`
}

// GaugeBody states a gauge and how it is connected. A later one with the same id replaces it from
// then on; what was judged before keeps the gauge it was measured with only through its measurements'
// record order, so a changed limit or class takes a new id.
type GaugeBody struct {
	GaugeStated
	By string `json:"by,omitempty"`
	Keyed
}

// GaugeStated is a gauge as a person or a job states it.
type GaugeStated struct {
	ID           string   `json:"id" most:"120" doc:"the gauge"`
	Name         string   `json:"name" most:"120" doc:"its name on page and report"`
	Kind         string   `json:"kind" most:"120" doc:"tape, caliper or steel rule"`
	Class        string   `json:"class,omitempty" need:"no" most:"120" doc:"of a tape: I, II or III"`
	EndFace      bool     `json:"end_face,omitempty" need:"no" doc:"a tape's lengths start at its hook or end face"`
	LimitNM      int64    `json:"limit_nm,omitempty" need:"no" doc:"largest error of one that is no classed tape"`
	ResolutionNM int64    `json:"resolution_nm" doc:"smallest step it reads"`
	Unit         string   `json:"unit" most:"120" doc:"unit it sends or is read in"`
	Measures     []string `json:"measures" most:"120" doc:"kinds of characteristic it is used for"`
	CheckedUS    int64    `json:"checked_us,omitempty" need:"no" doc:"its last check"`
	DueUS        int64    `json:"due_us,omitempty" need:"no" doc:"its next"`
	CheckNote    string   `json:"check_note,omitempty" need:"no" most:"2000" doc:"how the last check came out"`
	Address      string   `json:"address,omitempty" need:"no" most:"2000" doc:"where it is connected; none: typed only"`
	Format       string   `json:"format,omitempty" need:"no" most:"4000" doc:"how it sends: a wire format, as JSON text"`
	Channel      string   `json:"channel,omitempty" need:"no" most:"120" doc:"as its frames name it on a shared line"`
	Line         string   `json:"line,omitempty" need:"no" most:"120" doc:"how its serial line is set"`
}

// LotBody states a stock lot.
type LotBody struct {
	ID          string `json:"id" most:"120" doc:"the lot"`
	Heat        string `json:"heat,omitempty" need:"no" most:"120" doc:"heat number"`
	Grade       string `json:"grade" most:"120" doc:"steel grade"`
	BarLengthNM int64  `json:"bar_length_nm" doc:"length of its bars"`
	Note        string `json:"note,omitempty" need:"no" most:"2000" doc:"a remark"`
}

// JigBody states a jig set-up.
type JigBody struct {
	ID           string `json:"id" most:"120" doc:"the set-up"`
	FaceRadiusNM int64  `json:"face_radius_nm" doc:"radius of the block faces"`
	Blocks       int    `json:"blocks" doc:"number of blocks"`
	Note         string `json:"note,omitempty" need:"no" most:"2000" doc:"a remark"`
}

// CharacteristicBody is one characteristic of a target.
type CharacteristicBody struct {
	ID        string `json:"id"`
	Kind      string `json:"kind"`
	Face      string `json:"face"`
	NominalNM int64  `json:"nominal_nm"`
	LowerNM   int64  `json:"lower_nm"`
	UpperNM   int64  `json:"upper_nm"`
	Repeats   int    `json:"repeats"`
	BandNM    int64  `json:"band_nm,omitempty" need:"no"`
}

// StationBody is one station of a target.
type StationBody struct {
	ID          string `json:"id"`
	FromCrownNM int64  `json:"from_crown_nm"`
}

// TargetBody states one revision of a target.
type TargetBody struct {
	ID         string               `json:"id" most:"120" doc:"the target"`
	Revision   int                  `json:"revision" doc:"its revision, from 1"`
	Name       string               `json:"name" most:"120" doc:"its name on page and report"`
	DiameterNM int64                `json:"diameter_nm" doc:"bar diameter"`
	Grade      string               `json:"grade" most:"120" doc:"steel grade"`
	YieldMPa   int                  `json:"yield_mpa" doc:"yield strength"`
	LegNM      int64                `json:"leg_nm" doc:"straight legs"`
	ArcNM      int64                `json:"arc_nm" doc:"length of the arc"`
	RadiusNM   int64                `json:"radius_nm" doc:"radius of the arc"`
	Face       string               `json:"face" most:"120" doc:"face that lengths are measured to"`
	BuriedNM   int64                `json:"buried_nm,omitempty" need:"no" doc:"depth to which the tips are buried"`
	Stations   []StationBody        `json:"stations" doc:"stations of one side"`
	Round      []CharacteristicBody `json:"round" doc:"characteristics in the order measured"`
}

// BatchBody opens a batch against one target revision, under one decision rule.
type BatchBody struct {
	ID              string  `json:"id" most:"120" doc:"the batch"`
	Title           string  `json:"title" most:"120" doc:"its title on the report"`
	Place           string  `json:"place,omitempty" need:"no" most:"120" doc:"where it is made"`
	Maker           string  `json:"maker,omitempty" need:"no" most:"120" doc:"who makes it"`
	Planned         int     `json:"planned" doc:"ribs planned"`
	Target          string  `json:"target" most:"120" doc:"the target"`
	Revision        int     `json:"revision" doc:"its revision"`
	Rule            string  `json:"rule" most:"120" doc:"the decision rule"`
	Confidence      float64 `json:"confidence" doc:"with which conformity is proven"`
	TempHalfWidthK  float64 `json:"temp_half_width_k" doc:"doubt about the temperature"`
	FaceHalfWidthNM int64   `json:"face_half_width_nm,omitempty" need:"no" doc:"doubt about the face measured"`
	Jig             string  `json:"jig" most:"120" doc:"jig of the first rib"`
	Lot             string  `json:"lot" most:"120" doc:"lot of the first rib"` // lot of the next rib
	CheckedOnly     bool    `json:"checked_only,omitempty" need:"no" doc:"values of gauges that are not in date wait"`
}

// BatchClosedBody closes a batch.
type BatchClosedBody struct {
	Batch string `json:"batch"`
	By    string `json:"by,omitempty"`
	Keyed
}

// Gauge is the gauge as stated.
func (b GaugeStated) Gauge() qc.Gauge {
	g := qc.Gauge{
		ID: b.ID, Name: b.Name, Kind: qc.GaugeKind(b.Kind), Class: qc.TapeClass(b.Class), EndFace: b.EndFace,
		Limit: length.Length(b.LimitNM), Resolution: length.Length(b.ResolutionNM), Unit: b.Unit, CheckNote: b.CheckNote,
		Checked: TimeOf(b.CheckedUS), Due: TimeOf(b.DueUS),
	}
	for _, m := range b.Measures {
		g.Measures = append(g.Measures, qc.Kind(m))
	}
	return g
}

func stateGauge(g qc.Gauge, address, format string) GaugeStated {
	b := GaugeStated{
		ID: g.ID, Name: g.Name, Kind: string(g.Kind), Class: string(g.Class), EndFace: g.EndFace,
		LimitNM: int64(g.Limit), ResolutionNM: int64(g.Resolution), Unit: g.Unit, CheckNote: g.CheckNote,
		CheckedUS: MicrosOf(g.Checked), DueUS: MicrosOf(g.Due), Address: address, Format: format,
		Measures: []string{},
	}
	for _, m := range g.Measures {
		b.Measures = append(b.Measures, string(m))
	}
	return b
}

// Target is the target by value.
func (b TargetBody) Target() qc.Target {
	t := qc.Target{
		ID: b.ID, Revision: b.Revision, Name: b.Name,
		Bar: qc.Bar{Diameter: length.Length(b.DiameterNM), Grade: b.Grade, YieldMPa: b.YieldMPa},
		Leg: length.Length(b.LegNM), Arc: length.Length(b.ArcNM), Radius: length.Length(b.RadiusNM), Face: qc.Face(b.Face),
		Buried: length.Length(b.BuriedNM),
	}
	for _, st := range b.Stations {
		t.Stations = append(t.Stations, qc.Station{ID: qc.CharID(st.ID), FromCrown: length.Length(st.FromCrownNM)})
	}
	for _, c := range b.Round {
		t.Round = append(t.Round, qc.Characteristic{
			ID: qc.CharID(c.ID), Kind: qc.Kind(c.Kind), Face: qc.Face(c.Face), Nominal: length.Length(c.NominalNM),
			Lower: length.Length(c.LowerNM), Upper: length.Length(c.UpperNM), Repeats: c.Repeats, Band: length.Length(c.BandNM),
		})
	}
	return t
}

// Target is the body that states t.
func Target(t qc.Target) TargetBody {
	b := TargetBody{
		ID: t.ID, Revision: t.Revision, Name: t.Name, DiameterNM: int64(t.Bar.Diameter), Grade: t.Bar.Grade,
		YieldMPa: t.Bar.YieldMPa, LegNM: int64(t.Leg), ArcNM: int64(t.Arc), RadiusNM: int64(t.Radius),
		Face: string(t.Face), BuriedNM: int64(t.Buried), Stations: []StationBody{}, Round: []CharacteristicBody{},
	}
	for _, st := range t.Stations {
		b.Stations = append(b.Stations, StationBody{ID: string(st.ID), FromCrownNM: int64(st.FromCrown)})
	}
	for _, c := range t.Round {
		b.Round = append(b.Round, CharacteristicBody{
			ID: string(c.ID), Kind: string(c.Kind), Face: string(c.Face), NominalNM: int64(c.Nominal),
			LowerNM: int64(c.Lower), UpperNM: int64(c.Upper), Repeats: c.Repeats, BandNM: int64(c.Band),
		})
	}
	return b
}

// Decision is the rule that the batch is judged by.
func (body BatchBody) Decision() qc.Decision {
	return qc.Decision{Rule: qc.Rule(body.Rule), Confidence: body.Confidence, Conditions: qc.Conditions{
		TemperatureHalfWidthK: body.TempHalfWidthK, FaceHalfWidth: length.Length(body.FaceHalfWidthNM)}}
}

// TimeOf turns recorded microseconds into a time, zero into no time.
func TimeOf(us int64) time.Time {
	if us == 0 {
		return time.Time{}
	}
	return time.UnixMicro(us).UTC()
}

// MicrosOf is Unix time in microseconds, zero for no time.
func MicrosOf(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMicro()
}

// GaugeSetup is a gauge and how it is connected.
type GaugeSetup struct {
	qc.Gauge
	Address string // empty for a gauge that is read by a person and typed
	Format  string // wire format as JSON text
	Channel string // as its frames name it, where several gauges share a line
	Line    string // how its serial line is set, such as 9600 8N1; empty for that
}

// Stated is the gauge as a person or a job states it.
func (g GaugeSetup) Stated() GaugeStated {
	st := stateGauge(g.Gauge, g.Address, g.Format)
	st.Channel, st.Line = g.Channel, g.Line
	return st
}

// Setup is the gauge by value and how it is connected.
func (st GaugeStated) Setup() GaugeSetup {
	return GaugeSetup{Gauge: st.Gauge(), Address: st.Address, Format: st.Format, Channel: st.Channel, Line: st.Line}
}
