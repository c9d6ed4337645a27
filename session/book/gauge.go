package book

import (
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

// Gauge is a gauge with its connection.
type Gauge struct {
	qc.Gauge
	Stated   log.GaugeBody // as it was set
	Address  string
	Format   string
	check    *log.GaugeCheckedBody // the last one
	checkAt  time.Time
	OutOfUse string
	Moved    log.GaugeMovedBody // where it was found last, once it was moved
}

// Gauge finds a gauge; false when it is not on record.
func (s *Book) Gauge(id string) (qc.Gauge, bool) {
	g, ok := find(s.Gauges, func(g Gauge) bool { return g.ID == id })
	return g.Gauge, ok
}

// QcGauges are the gauges by value, in the order first set.
func (s *Book) QcGauges() []qc.Gauge {
	list := make([]qc.Gauge, len(s.Gauges))
	for i, g := range s.Gauges {
		list[i] = g.Gauge
	}
	return list
}

func (s *Book) gaugeSet(rec store.Record, body log.GaugeBody) error {
	s.weigh(rec.Seq)
	g := Gauge{Gauge: body.Gauge(), Stated: body, Address: body.Address, Format: body.Format}
	g.RepeatSD, g.RepeatDOF = s.repeatability(g.ID)
	for i := range s.Gauges {
		if old := s.Gauges[i]; old.ID == g.ID {
			g.check, g.checkAt, g.OutOfUse = old.check, old.checkAt, old.OutOfUse
			if old.Address == g.Address {
				g.Moved = old.Moved
			}
			g.settle()
			// Readers may hold the old list.
			s.Gauges = append([]Gauge(nil), s.Gauges...)
			s.Gauges[i] = g
			return nil
		}
	}
	s.Gauges = append(s.Gauges[:len(s.Gauges):len(s.Gauges)], g)
	return nil
}

func (s *Book) gaugeChecked(rec store.Record, body log.GaugeCheckedBody) error {
	err := s.changeGauge(rec, body.Gauge, func(g *Gauge) {
		g.check, g.checkAt = &body, rec.At()
		g.settle()
	})
	if err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeChecked{Gauge: s.GaugeName(body.Gauge), Check: body.Check()})
	return nil
}

func (s *Book) gaugeRetired(rec store.Record, body log.GaugeRetiredBody) error {
	if err := s.changeGauge(rec, body.Gauge, func(g *Gauge) {
		g.OutOfUse = body.Reason
		g.settle()
	}); err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeOutOfUse{Gauge: s.GaugeName(body.Gauge), Why: body.Reason})
	return nil
}

func (s *Book) gaugeMoved(rec store.Record, body log.GaugeMovedBody) error {
	if err := s.changeGauge(rec, body.Gauge, func(g *Gauge) { g.Moved = body }); err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeMoved{Gauge: s.GaugeName(body.Gauge),
		Vendor: body.Vendor, Product: body.Product, Serial: body.Serial, Path: body.Path, Port: body.Port})
	return nil
}

// changeGauge changes a copy, since readers may hold the old list.
func (s *Book) changeGauge(rec store.Record, id string, change func(*Gauge)) error {
	i := slices.IndexFunc(s.Gauges, func(g Gauge) bool { return g.ID == id })
	if i < 0 {
		return fmt.Errorf("gauge %q is not on record", id)
	}
	s.Gauges = slices.Clone(s.Gauges)
	change(&s.Gauges[i])
	s.weigh(rec.Seq)
	return nil
}

// settle puts what the record knows of checks and of use into the gauge as it was stated: the later of a
// check on record and the one stated counts.
func (g *Gauge) settle() {
	g.Retired = g.OutOfUse
	c := g.check
	if c == nil || g.checkAt.Before(g.Checked) {
		return
	}
	g.Checked, g.Due, g.Failed = g.checkAt, log.TimeOf(c.DueUS), !c.OK
	g.LastCheck = words.CheckNote{Check: c.Check(), Against: c.Note}
}

// Setup is the gauge and how it is connected.
func (g Gauge) Setup() log.GaugeSetup {
	return log.GaugeSetup{Gauge: g.Gauge, Address: g.Address, Format: g.Format, Channel: g.Stated.Channel, Line: g.Stated.Line}
}

// GaugeName is what people call the gauge.
func (s *Book) GaugeName(id string) string {
	g, _ := s.Gauge(id)
	return NameOf(g, id)
}

// NameOf is the name of a gauge of that id; one that is not on record has none.
func NameOf(g qc.Gauge, id string) string {
	if g.Name != "" {
		return g.Name
	}
	return "gauge " + id
}

// BoundTo is the gauge a person types for: those that can only be typed come first.
func (s *Book) BoundTo(ch qc.Characteristic) (Gauge, bool) {
	var found *Gauge
	for i := range s.Gauges {
		g := &s.Gauges[i]
		if g.Covers(ch.Kind) && g.Retired == "" && (found == nil || found.Address != "" && g.Address == "") {
			found = g
		}
	}
	if found == nil {
		return Gauge{}, false
	}
	return *found, true
}

// MeasuredWith says whether a value on record is of the gauge.
func (s *Book) MeasuredWith(id string) bool {
	for _, o := range s.Batches {
		for _, st := range o.Studies {
			if st.Gauge == id {
				return true
			}
		}
		for _, r := range o.Ribs {
			for _, m := range r.Measurements {
				if m.Gauge == id {
					return true
				}
			}
		}
	}
	return false
}
