package book

import (
	"fmt"
	"math"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
	"springline/session/store"
)

func (s *Book) temperatureSet(rec store.Record, body log.TemperatureBody) error {
	o := s.Open()
	if o == nil || o.Body.ID != body.Batch {
		return errNoBatch
	}
	now := qc.TemperatureRead{Temperatures: body.Temperatures(rec.Seq), At: rec.At(), By: body.By}
	temps := append([]qc.TemperatureRead(nil), o.Temps...)
	if body.Replaces != 0 {
		if !o.TemperatureCounts(body.Replaces) {
			return fmt.Errorf("no temperatures %d that count", body.Replaces)
		}
		for i := range temps {
			if temps[i].Seq == body.Replaces {
				temps[i].Replaced = rec.Seq
				now.At = temps[i].At // when they were read; only the numbers were wrong
			}
		}
		for _, r := range o.Ribs {
			s.correctAgain(o, r, body.Replaces, now.Temperatures, rec.Seq)
		}
	}
	o.Temps = append(temps, now)
	s.notice(rec, "", words.TemperaturesRead{Temperatures: TemperaturesOf(now)})
	return nil
}

// TemperatureCounts says whether that record is a reading that was not replaced.
func (o *Batch) TemperatureCounts(seq int64) bool {
	t, ok := find(o.Temps, func(t qc.TemperatureRead) bool { return t.Seq == seq })
	return ok && t.Replaced == 0
}

// correctAgain corrects what was measured under temperatures that were wrong.
func (s *Book) correctAgain(o *Batch, r *Rib, wrong int64, right qc.Temperatures, seq int64) {
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
func (s *Book) warm(o *Batch, m *qc.Measurement) {
	t, ok := o.TemperatureAt(m.At)
	g, _ := s.Gauge(m.Gauge)
	c, _ := o.Target.Characteristic(m.Char)
	if !ok || !qc.CorrectedTo20(g, c.Kind) {
		return
	}
	m.Temp = t.Temperatures
	m.To20 = s.to20(o, *m)
}

func (s *Book) to20(o *Batch, m qc.Measurement) length.Length {
	g, _ := s.Gauge(m.Gauge)
	c, _ := o.Target.Characteristic(m.Char)
	return m.Temp.To20(g, c.Kind, m.Value)
}

// TemperatureAt is the last reading that counts, false when there is none or it is too old at that time.
func (o *Batch) TemperatureAt(at time.Time) (qc.TemperatureRead, bool) {
	t, ok := o.Temperature()
	return t, ok && at.Sub(t.At) <= qc.TemperatureHolds
}

// Temperature is the last reading that counts, however old.
func (o *Batch) Temperature() (qc.TemperatureRead, bool) {
	for _, t := range slices.Backward(o.Temps) {
		if t.Replaced == 0 {
			return t, true
		}
	}
	return qc.TemperatureRead{}, false
}

// TemperaturesOf is a reading as a finding tells it.
func TemperaturesOf(t qc.TemperatureRead) words.Temperatures {
	m := func(v float64) int64 { return int64(math.Round(1000 * v)) }
	return words.Temperatures{BarMC: m(t.Bar), TapeMC: m(t.Tape), DoubtMK: m(t.Doubt), At: t.At.Format("15:04")}
}
