package session

import (
	"fmt"
	"math"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/store"
)

func (s *state) temperatureSet(rec store.Record, body TemperatureBody) error {
	o := s.open()
	if o == nil || o.body.ID != body.Batch {
		return errNoBatch
	}
	now := qc.TemperatureRead{Temperatures: body.temperatures(rec.Seq), At: rec.At(), By: body.By}
	temps := append([]qc.TemperatureRead(nil), o.temps...)
	if body.Replaces != 0 {
		if !o.temperatureCounts(body.Replaces) {
			return fmt.Errorf("no temperatures %d that count", body.Replaces)
		}
		for i := range temps {
			if temps[i].Seq == body.Replaces {
				temps[i].Replaced = rec.Seq
				now.At = temps[i].At // when they were read; only the numbers were wrong
			}
		}
		for _, r := range o.ribs {
			s.correctAgain(o, r, body.Replaces, now.Temperatures, rec.Seq)
		}
	}
	o.temps = append(temps, now)
	s.notice(rec, "", words.TemperaturesRead{Temperatures: saidOf(now)})
	return nil
}

func (o *batch) temperatureCounts(seq int64) bool {
	for _, t := range o.temps {
		if t.Seq == seq {
			return t.Replaced == 0
		}
	}
	return false
}

// correctAgain corrects what was measured under temperatures that were wrong.
func (s *state) correctAgain(o *batch, r *rib, wrong int64, right qc.Temperatures, seq int64) {
	changed := false
	for i := range r.Measurements {
		if r.Measurements[i].Temp.Seq != wrong {
			continue
		}
		if !changed {
			r.edit()
			changed = true
		}
		m := &r.Measurements[i]
		m.Temp = right
		m.To20 = s.to20(o, *m)
	}
	if changed {
		r.touch(seq)
	}
}

// warm gives a measurement the temperatures that count for it.
func (s *state) warm(o *batch, m *qc.Measurement) {
	t, ok := o.temperatureAt(m.At)
	g, _ := s.gauge(m.Gauge)
	c, _ := o.target.Characteristic(m.Char)
	if !ok || !qc.CorrectedTo20(g, c.Kind) {
		return
	}
	m.Temp = t.Temperatures
	m.To20 = s.to20(o, *m)
}

func (s *state) to20(o *batch, m qc.Measurement) length.Length {
	g, _ := s.gauge(m.Gauge)
	c, _ := o.target.Characteristic(m.Char)
	return m.Temp.To20(g, c.Kind, m.Value)
}

// temperatureAt is the last reading that counts, false when there is none or it is too old at that time.
func (o *batch) temperatureAt(at time.Time) (qc.TemperatureRead, bool) {
	t, ok := o.temperature()
	return t, ok && at.Sub(t.At) <= qc.TemperatureHolds
}

func (o *batch) temperature() (qc.TemperatureRead, bool) {
	for i := len(o.temps) - 1; i >= 0; i-- {
		if o.temps[i].Replaced == 0 {
			return o.temps[i], true
		}
	}
	return qc.TemperatureRead{}, false
}

func saidOf(t qc.TemperatureRead) words.Temperatures {
	m := func(v float64) int64 { return int64(math.Round(1000 * v)) }
	return words.Temperatures{BarMC: m(t.Bar), TapeMC: m(t.Tape), DoubtMK: m(t.Doubt), At: t.At.Format("15:04")}
}
