package session

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
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
	Key         string   `json:"key,omitempty"`
}

// GaugeRetiredBody takes a gauge out of use: what it sends or is read from it counts no more.
type GaugeRetiredBody struct {
	Gauge  string `json:"gauge"`
	Reason string `json:"reason"`
	By     string `json:"by,omitempty"`
	Key    string `json:"key,omitempty"`
}

// maxCheckReadings bounds one check.
const maxCheckReadings = 50

// checkGauge decides on OpGaugeCheck.
func (b *Bench) checkGauge(c Command) (event, error) {
	g, err := b.gaugeInUse(c.Gauge)
	if err != nil {
		return event{}, err
	}
	read := func(field, text string) (length.Length, error) {
		e, err := readTyped(text, g, false)
		if err != nil {
			return 0, badText(field, text, "length of a check of gauge "+g.ID, err)
		}
		if e.Length <= 0 {
			return 0, problem(CodeBadValue, field, "check at a length above zero", "a check of gauge %q at %s mm says nothing", g.ID, e.Length)
		}
		return e.Length, nil
	}
	body := GaugeCheckedBody{Gauge: g.ID, Note: c.Reason, By: c.By, Key: c.Key}
	ref, err := read("reference", c.Reference)
	if err != nil {
		return event{}, err
	}
	var sum, worst length.Length
	for _, text := range strings.Split(c.Text, ";") {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		v, err := read("text", text)
		if err != nil {
			return event{}, err
		}
		body.Texts, body.ReadingsNM = append(body.Texts, text), append(body.ReadingsNM, int64(v))
		sum += v - ref
		worst = max(worst, v-ref, ref-v)
	}
	var doubt length.Length
	if c.Doubt != "" {
		if doubt, err = read("doubt", c.Doubt); err != nil {
			return event{}, err
		}
	}
	n := len(body.ReadingsNM)
	if n == 0 || n > maxCheckReadings {
		return event{}, problem(CodeMissing, "text", "give 1 to 50 readings with semicolons between", "%d readings for the check of gauge %q", n, g.ID)
	}
	if c.Due != "" {
		due, err := time.Parse(time.DateOnly, c.Due)
		if err != nil || !due.After(b.now()) {
			return event{}, problem(CodeBadValue, "due", "give a day to come, such as 2027-03-31", "the next check of gauge %q is due on %q", g.ID, c.Due)
		}
		body.DueUS = microsOf(due)
	}
	allowed := g.PermissibleError(ref) + g.Resolution/2
	body.ReferenceNM, body.AllowedNM = int64(ref), int64(allowed)
	body.DoubtNM = int64(doubt)
	body.OffsetNM, body.OK = int64(sum)/int64(n), worst+doubt <= allowed
	return event{GaugeChecked, body}, nil
}

// retireGauge decides on OpGaugeRetire.
func (b *Bench) retireGauge(c Command) (event, error) {
	g, err := b.gaugeInUse(c.Gauge)
	if err != nil {
		return event{}, err
	}
	if err := needReason(c, "taking a gauge out of use"); err != nil {
		return event{}, err
	}
	return event{GaugeRetired, GaugeRetiredBody{Gauge: g.ID, Reason: c.Reason, By: c.By, Key: c.Key}}, nil
}

func (b *Bench) gaugeInUse(id string) (qc.Gauge, error) {
	g, ok := b.state.gauge(id)
	switch {
	case !ok:
		return g, problem(CodeUnknown, "gauge", "name one that is", "gauge %q is not on record", id)
	case g.Retired != "":
		return g, problem(CodeSettled, "gauge", "enter the gauge under a new id", "gauge %q is out of use: %s", id, g.Retired)
	}
	return g, nil
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
