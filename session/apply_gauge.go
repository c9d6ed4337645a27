package session

import (
	"fmt"
	"slices"

	"springline/qc"
	"springline/qc/words"
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

func (s *state) gaugeChecked(rec store.Record, body GaugeCheckedBody) error {
	err := s.changeGauge(rec, body.Gauge, func(g *gauge) {
		g.check, g.checkAt = &body, rec.At()
		g.settle()
	})
	if err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeChecked{Gauge: s.gaugeName(body.Gauge), Check: body.check()})
	return nil
}

func (s *state) gaugeRetired(rec store.Record, body GaugeRetiredBody) error {
	if err := s.changeGauge(rec, body.Gauge, func(g *gauge) {
		g.retired = body.Reason
		g.settle()
	}); err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeOutOfUse{Gauge: s.gaugeName(body.Gauge), Why: body.Reason})
	return nil
}

func (s *state) gaugeMoved(rec store.Record, body GaugeMovedBody) error {
	if err := s.changeGauge(rec, body.Gauge, func(g *gauge) { g.moved = body }); err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeMoved{Gauge: s.gaugeName(body.Gauge),
		Vendor: body.Vendor, Product: body.Product, Serial: body.Serial, Path: body.Path, Port: body.Port})
	return nil
}

// changeGauge changes a copy, since readers may hold the old list.
func (s *state) changeGauge(rec store.Record, id string, change func(*gauge)) error {
	i := slices.IndexFunc(s.gauges, func(g gauge) bool { return g.ID == id })
	if i < 0 {
		return fmt.Errorf("gauge %q is not on record", id)
	}
	s.gauges = slices.Clone(s.gauges)
	change(&s.gauges[i])
	s.weigh(rec.Seq)
	return nil
}

// settle puts what the record knows of checks and of use into the gauge as it was stated: the later of a
// check on record and the one stated counts.
func (g *gauge) settle() {
	g.Retired = g.retired
	c := g.check
	if c == nil || g.checkAt.Before(g.Checked) {
		return
	}
	g.Checked, g.Due, g.Failed = g.checkAt, timeOf(c.DueUS), !c.OK
	g.LastCheck = words.CheckNote{Check: c.check(), Against: c.Note}
}

func (g gauge) setup() GaugeSetup {
	return GaugeSetup{Gauge: g.Gauge, Address: g.address, Format: g.format, Channel: g.stated.Channel, Line: g.stated.Line}
}

func (s *state) gaugeName(id string) string {
	g, _ := s.gauge(id)
	return nameOf(g, id)
}

// nameOf is the name of a gauge of that id; one that is not on record has none.
func nameOf(g qc.Gauge, id string) string {
	if g.Name != "" {
		return g.Name
	}
	return "gauge " + id
}

// boundTo is the gauge a person types for: those that can only be typed come first.
func (s *state) boundTo(ch qc.Characteristic) (gauge, bool) {
	var found *gauge
	for i := range s.gauges {
		g := &s.gauges[i]
		if g.Covers(ch.Kind) && g.Retired == "" && (found == nil || found.address != "" && g.address == "") {
			found = g
		}
	}
	if found == nil {
		return gauge{}, false
	}
	return *found, true
}

func measuredWith(s *state, id string) bool {
	for _, o := range s.batches {
		for _, st := range o.studies {
			if st.Gauge == id {
				return true
			}
		}
		for _, r := range o.ribs {
			for _, m := range r.Measurements {
				if m.Gauge == id {
					return true
				}
			}
		}
	}
	return false
}
