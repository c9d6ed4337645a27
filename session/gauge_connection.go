package session

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"reflect"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/store"
)

// GaugeMovedBody keeps who is behind a gauge once its send key has shown that it is in another socket than
// was thought: the fields of a device.Identity.
type GaugeMovedBody struct {
	Gauge   string `json:"gauge"`
	Vendor  string `json:"vendor,omitempty"`
	Product string `json:"product,omitempty"`
	Serial  string `json:"serial,omitempty"`
	Path    string `json:"path,omitempty"`
	Port    string `json:"port,omitempty"`
}

// Connection is a gauge in use as the record has it connected. Identity is zero until the gauge was found in
// another socket.
type Connection struct {
	GaugeSetup
	Identity device.Identity
}

// Connections lists the gauges in use that bytes come from, in the order first set.
func (b *Bench) Connections() []Connection {
	b.mu.Lock()
	defer b.mu.Unlock()
	var list []Connection
	for _, g := range b.state.gauges {
		if g.retired == "" && (g.address != "" || g.format != "") {
			list = append(list, Connection{g.setup(), identityOf(g.moved)})
		}
	}
	return list
}

func identityOf(m GaugeMovedBody) device.Identity {
	return device.Identity{Vendor: m.Vendor, Product: m.Product, Serial: m.Serial, Path: m.Path, Port: m.Port}
}

func (g gauge) setup() GaugeSetup {
	return GaugeSetup{Gauge: g.Gauge, Address: g.address, Format: g.format, Channel: g.stated.Channel, Line: g.stated.Line}
}

// Device says how the gauge is connected. It fails where the format or the setting of the line on record is
// not readable.
func (c Connection) Device() (device.Gauge, error) {
	g := device.Gauge{ID: c.ID, Name: c.Name, Kind: device.Caliper, Address: c.Address, Identity: c.Identity, Channel: c.Channel, Unit: c.Unit}
	var err error
	if c.Format != "" {
		if g.Format, err = wire.ParseFormat([]byte(c.Format)); err != nil {
			return g, fmt.Errorf("gauge %q: its format on record: %w", c.ID, err)
		}
	}
	if c.Line != "" {
		if g.Mode, err = device.ParseMode(c.Line); err != nil {
			return g, fmt.Errorf("gauge %q: its line on record: %w", c.ID, err)
		}
	}
	switch {
	case c.Address == "" && g.Format.Family == wire.Keyboard:
		g.Kind = device.Keyboard
	case c.Address == "":
		g.Kind = device.TypedIn
	case c.Kind == qc.Tape:
		g.Kind = device.Tape
	}
	return g, g.Validate()
}

// moved records that a gauge was found in another socket. The caller holds mu.
func (b *Bench) moved(u device.Update) (Outcome, error) {
	if _, known := b.state.gauge(u.Gauge); !known {
		b.publish()
		return Outcome{}, nil
	}
	if err := b.writable(); err != nil {
		b.publish()
		return Outcome{}, err
	}
	i := *u.Identity
	r, err := b.add(GaugeMoved, "", b.now(), GaugeMovedBody{Gauge: u.Gauge, Vendor: i.Vendor, Product: i.Product, Serial: i.Serial, Path: i.Path, Port: i.Port})
	return Outcome{Kind: GaugeMoved, Seq: r.Seq}, err
}

func (s *state) gaugeMoved(rec store.Record, body GaugeMovedBody) error {
	if err := s.changeGauge(rec, body.Gauge, func(g *gauge) { g.moved = body }); err != nil {
		return err
	}
	s.notice(rec, body.Gauge, words.GaugeMoved{Gauge: s.gaugeName(body.Gauge),
		Vendor: body.Vendor, Product: body.Product, Serial: body.Serial, Path: body.Path, Port: body.Port})
	return nil
}

// setGauge decides on OpGaugeSet: Text is a gauge as GaugeBody writes it.
func (b *Bench) setGauge(c Command) (event, error) {
	var body GaugeBody
	d := json.NewDecoder(bytes.NewReader([]byte(c.Text)))
	d.DisallowUnknownFields()
	if err := d.Decode(&body); err != nil || d.More() {
		return event{}, problem(CodeBadValue, "text", "write it as springline gauge add does", "the gauge is not readable: %v", err)
	}
	if body.ID != c.Gauge {
		return event{}, problem(CodeBadValue, "gauge", "name it twice the same", "gauge %q is to be set and %q is described", c.Gauge, body.ID)
	}
	body.By, body.Key = c.By, c.Key
	g := GaugeSetup{Gauge: body.gauge(), Address: body.Address, Format: body.Format, Channel: body.Channel, Line: body.Line}
	if err := g.check(); err != nil {
		return event{}, err
	}
	if g.Address != "" || g.Format != "" {
		if _, err := (Connection{GaugeSetup: g}).Device(); err != nil {
			return event{}, refused("address", err)
		}
		for _, x := range b.state.gauges {
			if x.ID != g.ID && x.retired == "" && x.address == g.Address && g.Address != "" && (x.stated.Channel == "" || g.Channel == "") {
				return event{}, problem(CodeExists, "address", "give it an address of its own, or both a channel", "gauge %q is at %s already", x.ID, g.Address)
			}
		}
	}
	if old, ok := b.state.gauge(g.ID); ok && old.Retired != "" {
		return event{}, problem(CodeSettled, "gauge", "enter the gauge under a new id", "gauge %q is out of use: %s", g.ID, old.Retired)
	}
	there, err := b.state.sameGauge(g, body)
	if err == nil && there {
		err = problem(CodeExists, "gauge", "nothing is to be done", "gauge %q is on record just so", g.ID)
	}
	return event{GaugeSet, body}, err
}

// check refuses a gauge that cannot be, whatever is on record.
func (g GaugeSetup) check() error {
	if err := g.Validate(); err != nil {
		return refused("gauge", err)
	}
	if g.Kind != qc.Caliper && g.Kind != qc.Tape && g.Kind != qc.SteelRule {
		return problem(CodeBadValue, "kind", "use caliper, tape or steel rule", "gauge %q is a %q", g.ID, g.Kind)
	}
	if _, ok := length.UnitNamed(g.Unit); !ok {
		return problem(CodeBadValue, "unit", "use mm, cm, m, in, ft or thou", "gauge %q reads in %q, which is no unit of length here", g.ID, g.Unit)
	}
	return firstError(checkText("id", g.ID, maxName), checkText("name", g.Name, maxName), checkText("text", g.CheckNote, maxText),
		checkText("address", g.Address, maxText), checkText("channel", g.Channel, maxName), checkText("line", g.Line, maxName))
}

// sameGauge reports that the gauge is on record just so; what would change old verdicts is an error.
func (s *state) sameGauge(g GaugeSetup, body GaugeBody) (bool, error) {
	old, ok := s.gauge(g.ID)
	if !ok {
		return false, nil
	}
	if measuredWith(s, g.ID) && (old.Kind != g.Kind || old.Class != g.Class || old.EndFace != g.EndFace || old.Limit != g.Limit || old.Resolution != g.Resolution) {
		return false, problem(CodeExists, "id", "give the changed gauge a new id",
			"gauge %q has measured already; another kind, class, limit or resolution would change old verdicts", g.ID)
	}
	for _, x := range s.gauges {
		if x.ID == g.ID {
			stated := x.stated
			stated.By, stated.Key, body.By, body.Key = "", "", "", ""
			return reflect.DeepEqual(stated, body), nil
		}
	}
	return false, nil
}

// SetGauge puts a gauge on record, or what changed of it. What its readings are weighed by (kind, class,
// limit, resolution) cannot change once it has measured: that is another gauge and takes another id.
// Setting what is there already records nothing. Errors are *words.Refusal or wrap store.ErrNotSaved, here
// and below.
func (b *Bench) SetGauge(ctx context.Context, g GaugeSetup) error {
	if err := g.check(); err != nil {
		return err
	}
	body := g.Body()
	return b.set(ctx, GaugeSet, body, func(s *state) (bool, error) { return s.sameGauge(g, body) })
}

// Body is the gauge as the record writes it.
func (g GaugeSetup) Body() GaugeBody {
	body := gaugeBody(g.Gauge, g.Address, g.Format)
	body.Channel, body.Line = g.Channel, g.Line
	return body
}

// kindText says what a gauge is and in what unit it reads.
func kindText(g qc.Gauge) string {
	text := string(g.Kind)
	if g.Kind == qc.Tape {
		text += " class " + string(g.Class)
		if g.EndFace {
			text += ", from its end face"
		}
	}
	return text + ", in " + g.Unit
}
