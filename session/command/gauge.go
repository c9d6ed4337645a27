package command

import (
	"reflect"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
)

// StateGauge puts a gauge on record as a job states it, or what changed of it. What its readings are weighed by
// (kind, class, limit, resolution) cannot change once it has measured: that is another gauge and takes another id.
type StateGauge log.GaugeStated

func (StateGauge) op() Op { return "gauge-state" }

func stateGauge(d *Desk, s Sent, c StateGauge) (any, error) {
	g := log.GaugeStated(c).Setup()
	if err := checkSetup(g); err != nil {
		return nil, err
	}
	old, known := d.Book.Gauge(c.ID)
	if known && d.Book.MeasuredWith(c.ID) && (old.Kind != g.Kind || old.Class != g.Class || old.EndFace != g.EndFace ||
		old.Limit != g.Limit || old.Resolution != g.Resolution) {
		return nil, words.Problem(words.CodeExists, "id", "give the changed gauge a new id",
			"gauge %q has measured already; another kind, class, limit or resolution would change old verdicts", c.ID)
	}
	for _, x := range d.Book.Gauges {
		if x.ID == c.ID && reflect.DeepEqual(x.Stated.GaugeStated, log.GaugeStated(c)) {
			return nil, same("gauge", "gauge %q", c.ID)
		}
	}
	return log.GaugeBody{GaugeStated: log.GaugeStated(c), By: s.By, Keyed: s.keyed()}, nil
}

// SetGauge puts a gauge in use on record, or what changed of it, so that a running bench connects it at once.
type SetGauge log.GaugeStated

func (SetGauge) op() Op { return "gauge-set" }

func setGauge(d *Desk, s Sent, c SetGauge) (any, error) {
	g := log.GaugeStated(c).Setup()
	if err := checkSetup(g); err != nil {
		return nil, err
	}
	if g.Address != "" || g.Format != "" {
		if err := d.CanConnect(g); err != nil {
			return nil, words.Refused("address", err)
		}
		for _, x := range d.Book.Gauges {
			if x.ID != g.ID && x.OutOfUse == "" && x.Address == g.Address && g.Address != "" && (x.Stated.Channel == "" || g.Channel == "") {
				return nil, words.Problem(words.CodeExists, "address", "give it an address of its own, or both a channel",
					"gauge %q is at %s already", x.ID, g.Address)
			}
		}
	}
	if old, ok := d.Book.Gauge(g.ID); ok && old.Retired != "" {
		return nil, words.Problem(words.CodeSettled, "gauge", "enter the gauge under a new id",
			"gauge %q is out of use: %s", g.ID, old.Retired)
	}
	return stateGauge(d, s, StateGauge(c))
}

// checkSetup refuses a gauge that cannot be, whatever is on record.
func checkSetup(g log.GaugeSetup) error {
	if err := g.Validate(); err != nil {
		return words.Refused("gauge", err)
	}
	if g.Kind != qc.Caliper && g.Kind != qc.Tape && g.Kind != qc.SteelRule {
		return words.Problem(words.CodeBadValue, "kind", "use caliper, tape or steel rule", "gauge %q is a %q", g.ID, g.Kind)
	}
	if _, ok := length.UnitNamed(g.Unit); !ok {
		return words.Problem(words.CodeBadValue, "unit", "use mm, cm, m, in, ft or thou",
			"gauge %q reads in %q, which is no unit of length here", g.ID, g.Unit)
	}
	return nil
}

// maxCheckReadings bounds one check.
const maxCheckReadings = 50

// CheckGauge puts on record how a gauge reads a length that is known.
type CheckGauge struct {
	Gauge     string   `json:"gauge" most:"120" doc:"the gauge"`
	Reference string   `json:"reference" most:"120" doc:"the known length"`
	Readings  []string `json:"readings" most:"120" doc:"what it read"`
	Doubt     string   `json:"doubt" need:"no" most:"120" doc:"how far the known length may be off"`
	Due       string   `json:"due" need:"no" most:"120" doc:"day of the next check: 2027-03-31"`
	Reason    string   `json:"reason" need:"no" most:"2000" doc:"what the known length is"`
}

func (CheckGauge) op() Op { return "gauge-check" }

func checkGauge(d *Desk, s Sent, c CheckGauge) (any, error) {
	g, err := d.gaugeInUse(c.Gauge)
	if err != nil {
		return nil, err
	}
	read := func(field, text string) (length.Length, error) {
		e, err := readTyped(text, g, false)
		if err != nil {
			return 0, badText(field, text, "length of a check of gauge "+g.ID, err)
		}
		if e.Length <= 0 {
			return 0, words.Problem(words.CodeBadValue, field, "check at a length above zero",
				"a check of gauge %q at %s mm says nothing", g.ID, e.Length)
		}
		return e.Length, nil
	}
	body := log.GaugeCheckedBody{Gauge: g.ID, Note: c.Reason, By: s.By, Keyed: s.keyed()}
	ref, err := read("reference", c.Reference)
	if err != nil {
		return nil, err
	}
	var sum, worst length.Length
	for _, text := range c.Readings {
		v, err := read("readings", text)
		if err != nil {
			return nil, err
		}
		body.Texts, body.ReadingsNM = append(body.Texts, text), append(body.ReadingsNM, int64(v))
		sum += v - ref
		worst = max(worst, v-ref, ref-v)
	}
	var doubt length.Length
	if c.Doubt != "" {
		if doubt, err = read("doubt", c.Doubt); err != nil {
			return nil, err
		}
	}
	n := len(body.ReadingsNM)
	if n == 0 || n > maxCheckReadings {
		return nil, words.Problem(words.CodeMissing, "readings", "give 1 to 50 readings", "%d readings for the check of gauge %q", n, g.ID)
	}
	if c.Due != "" {
		due, err := time.Parse(time.DateOnly, c.Due)
		if err != nil || !due.After(d.Now()) {
			return nil, words.Problem(words.CodeBadValue, "due", "give a day to come, such as 2027-03-31",
				"the next check of gauge %q is due on %q", g.ID, c.Due)
		}
		body.DueUS = log.MicrosOf(due)
	}
	allowed := g.PermissibleError(ref) + g.Resolution/2
	body.ReferenceNM, body.AllowedNM = int64(ref), int64(allowed)
	body.DoubtNM = int64(doubt)
	body.OffsetNM, body.OK = int64(sum)/int64(n), worst+doubt <= allowed
	return body, nil
}

// RetireGauge takes a gauge out of use.
type RetireGauge struct {
	Gauge  string `json:"gauge" most:"120" doc:"the gauge"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (RetireGauge) op() Op { return "gauge-retire" }

func retireGauge(d *Desk, s Sent, c RetireGauge) (any, error) {
	g, err := d.gaugeInUse(c.Gauge)
	if err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "taking a gauge out of use"); err != nil {
		return nil, err
	}
	return log.GaugeRetiredBody{Gauge: g.ID, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

func (d *Desk) gaugeInUse(id string) (qc.Gauge, error) {
	g, ok := d.Book.Gauge(id)
	switch {
	case !ok:
		return g, words.Problem(words.CodeUnknown, "gauge", "name one that is", "gauge %q is not on record", id)
	case g.Retired != "":
		return g, words.Problem(words.CodeSettled, "gauge", "enter the gauge under a new id", "gauge %q is out of use: %s", id, g.Retired)
	}
	return g, nil
}
