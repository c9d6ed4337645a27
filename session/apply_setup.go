package session

import (
	"time"

	"springline/qc"
	"springline/session/store"
)

func (s *state) gaugeSet(rec store.Record, body GaugeBody) error {
	s.weigh(rec.Seq)
	g := gauge{Gauge: body.gauge(), stated: body, address: body.Address, format: body.Format}
	g.RepeatSD, g.RepeatDOF = s.repeatability(g.ID)
	for i := range s.gauges {
		if old := s.gauges[i]; old.ID == g.ID {
			g.check, g.checkAt, g.retired = old.check, old.checkAt, old.retired
			if old.address == g.address {
				g.moved = old.moved
			}
			g.settle()
			// Readers may hold the old list.
			s.gauges = append([]gauge(nil), s.gauges...)
			s.gauges[i] = g
			return nil
		}
	}
	s.gauges = append(s.gauges[:len(s.gauges):len(s.gauges)], g)
	return nil
}

func (s *state) lotSet(_ store.Record, body LotBody) error {
	l := qc.Lot{ID: body.ID, Heat: body.Heat, Grade: body.Grade, BarLength: nm(body.BarLengthNM), Note: body.Note}
	for i := range s.lots {
		if s.lots[i].ID == l.ID {
			s.lots = append([]qc.Lot(nil), s.lots...)
			s.lots[i] = l
			return nil
		}
	}
	s.lots = append(s.lots, l)
	return nil
}

func (s *state) jigSet(rec store.Record, body JigBody) error {
	s.jigs = append(s.jigs, qc.Jig{ID: body.ID, FaceRadius: nm(body.FaceRadiusNM), Blocks: body.Blocks, Note: body.Note, At: rec.At()})
	return nil
}

func (s *state) targetSet(_ store.Record, body TargetBody) error {
	s.targets = append(s.targets, body.target())
	return nil
}

func (b GaugeStated) gauge() qc.Gauge {
	g := qc.Gauge{
		ID: b.ID, Name: b.Name, Kind: qc.GaugeKind(b.Kind), Class: qc.TapeClass(b.Class), EndFace: b.EndFace,
		Limit: nm(b.LimitNM), Resolution: nm(b.ResolutionNM), Unit: b.Unit, CheckNote: b.CheckNote,
		Checked: timeOf(b.CheckedUS), Due: timeOf(b.DueUS),
	}
	for _, m := range b.Measures {
		g.Measures = append(g.Measures, qc.Kind(m))
	}
	return g
}

func gaugeStated(g qc.Gauge, address, format string) GaugeStated {
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
		Bar: qc.Bar{Diameter: nm(b.DiameterNM), Grade: b.Grade, YieldMPa: b.YieldMPa},
		Leg: nm(b.LegNM), Arc: nm(b.ArcNM), Radius: nm(b.RadiusNM), Face: qc.Face(b.Face), Buried: nm(b.BuriedNM),
	}
	for _, st := range b.Stations {
		t.Stations = append(t.Stations, qc.Station{ID: qc.CharID(st.ID), FromCrown: nm(st.FromCrownNM)})
	}
	for _, c := range b.Round {
		t.Round = append(t.Round, qc.Characteristic{
			ID: qc.CharID(c.ID), Kind: qc.Kind(c.Kind), Face: qc.Face(c.Face), Nominal: nm(c.NominalNM),
			Lower: nm(c.LowerNM), Upper: nm(c.UpperNM), Repeats: c.Repeats, Band: nm(c.BandNM),
		})
	}
	return t
}

func targetBody(t qc.Target) TargetBody {
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
		TemperatureHalfWidthK: body.TempHalfWidthK, FaceHalfWidth: nm(body.FaceHalfWidthNM)}}
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
