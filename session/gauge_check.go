package session

import (
	"fmt"
	"slices"
	"time"

	"springline/qc"
	"springline/qc/words"
	"springline/session/store"
)

// GaugeCheckedBody is one check of a gauge against a length that is known. Offset is the mean reading minus
// the reference, Allowed the largest error that one reading may have: that of the gauge at this length and
// half a step of its reading. It is OK when every reading lies within that even with the reference as far off as
// it may be: the doubt counts against the gauge (the principle of ISO 14253-1).
type GaugeCheckedBody struct {
	Gauge       string   `json:"gauge"`
	ReferenceNM int64    `json:"reference_nm"`
	Texts       []string `json:"texts"` // as typed
	ReadingsNM  []int64  `json:"readings_nm"`
	OffsetNM    int64    `json:"offset_nm"`
	AllowedNM   int64    `json:"allowed_nm"`
	DoubtNM     int64    `json:"doubt_nm,omitempty"` // the reference may be so far off
	OK          bool     `json:"ok"`
	DueUS       int64    `json:"due_us,omitempty"`
	Note        string   `json:"note,omitempty"` // what the reference is
	By          string   `json:"by,omitempty"`
	Keyed
}

// GaugeRetiredBody takes a gauge out of use: what it sends or is read from it counts no more.
type GaugeRetiredBody struct {
	Gauge  string `json:"gauge"`
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"`
	Keyed
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

func (b GaugeCheckedBody) check() words.Check {
	c := words.Check{Reference: nm(b.ReferenceNM), Offset: nm(b.OffsetNM), Repeated: len(b.ReadingsNM) > 1,
		Allowed: nm(b.AllowedNM), Doubt: nm(b.DoubtNM), OK: b.OK}
	if c.Repeated {
		c.Spread = nm(slices.Max(b.ReadingsNM) - slices.Min(b.ReadingsNM))
	}
	return c
}

// notChecked says why a gauge's values do not count in a batch that takes checked gauges only.
func notChecked(o *batch, g qc.Gauge, at time.Time) (question, bool) {
	if !o.body.CheckedOnly {
		return question{}, false
	}
	st := g.Calibration(at)
	if st == qc.CheckInDate {
		return question{}, false
	}
	return question{why: words.NotChecked{Gauge: g.Name, State: string(st)}, ask: words.CheckGauge{}}, true
}
