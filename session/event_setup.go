package session

import (
	"time"

	"springline/qc"
	"springline/qc/length"
)

func (b GaugeStated) gauge() qc.Gauge {
	g := qc.Gauge{
		ID: b.ID, Name: b.Name, Kind: qc.GaugeKind(b.Kind), Class: qc.TapeClass(b.Class), EndFace: b.EndFace,
		Limit: length.Length(b.LimitNM), Resolution: length.Length(b.ResolutionNM), Unit: b.Unit, CheckNote: b.CheckNote,
		Checked: timeOf(b.CheckedUS), Due: timeOf(b.DueUS),
	}
	for _, m := range b.Measures {
		g.Measures = append(g.Measures, qc.Kind(m))
	}
	return g
}

func bodyOfGauge(g qc.Gauge, address, format string) GaugeStated {
	b := GaugeStated{
		ID: g.ID, Name: g.Name, Kind: string(g.Kind), Class: string(g.Class), EndFace: g.EndFace,
		LimitNM: int64(g.Limit), ResolutionNM: int64(g.Resolution), Unit: g.Unit, CheckNote: g.CheckNote,
		CheckedUS: microsOf(g.Checked), DueUS: microsOf(g.Due), Address: address, Format: format,
		Measures: []string{},
	}
	for _, m := range g.Measures {
		b.Measures = append(b.Measures, string(m))
	}
	return b
}

func (b TargetBody) target() qc.Target {
	t := qc.Target{
		ID: b.ID, Revision: b.Revision, Name: b.Name,
		Bar: qc.Bar{Diameter: length.Length(b.DiameterNM), Grade: b.Grade, YieldMPa: b.YieldMPa},
		Leg: length.Length(b.LegNM), Arc: length.Length(b.ArcNM), Radius: length.Length(b.RadiusNM), Face: qc.Face(b.Face), Buried: length.Length(b.BuriedNM),
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

func bodyOfTarget(t qc.Target) TargetBody {
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

// decision is the rule that the batch is judged by.
func (body BatchBody) decision() qc.Decision {
	return qc.Decision{Rule: qc.Rule(body.Rule), Confidence: body.Confidence, Conditions: qc.Conditions{
		TemperatureHalfWidthK: body.TempHalfWidthK, FaceHalfWidth: length.Length(body.FaceHalfWidthNM)}}
}

// timeOf turns recorded microseconds into a time, zero into no time.
func timeOf(us int64) time.Time {
	if us == 0 {
		return time.Time{}
	}
	return time.UnixMicro(us).UTC()
}

func microsOf(t time.Time) int64 {
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
	st := bodyOfGauge(g.Gauge, g.Address, g.Format)
	st.Channel, st.Line = g.Channel, g.Line
	return st
}

func (st GaugeStated) setup() GaugeSetup {
	return GaugeSetup{Gauge: st.gauge(), Address: st.Address, Format: st.Format, Channel: st.Channel, Line: st.Line}
}
