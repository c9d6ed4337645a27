package session

import (
	"fmt"

	"springline/device"
	"springline/device/wire"
	"springline/qc"
	"springline/session/log"
)

// Connection is a gauge in use as the record has it connected. Identity is zero until the gauge was found in
// another socket.
type Connection struct {
	log.GaugeSetup
	Identity device.Identity
}

// Connections lists the gauges in use that bytes come from, in the order first set.
func (b *Bench) Connections() []Connection {
	b.mu.Lock()
	defer b.mu.Unlock()
	var list []Connection
	for _, g := range b.state.Gauges {
		if g.OutOfUse == "" && (g.Address != "" || g.Format != "") {
			list = append(list, Connection{g.Setup(), identityOf(g.Moved)})
		}
	}
	return list
}

func identityOf(m log.GaugeMovedBody) device.Identity {
	return device.Identity{Vendor: m.Vendor, Product: m.Product, Serial: m.Serial, Path: m.Path, Port: m.Port}
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
	if _, known := b.state.Gauge(u.Gauge); !known {
		b.publish()
		return Outcome{}, nil
	}
	if err := b.writable(); err != nil {
		b.publish()
		return Outcome{}, err
	}
	i := *u.Identity
	r, err := b.add(log.GaugeMoved, "", b.now(), log.GaugeMovedBody{Gauge: u.Gauge, Vendor: i.Vendor, Product: i.Product, Serial: i.Serial,
		Path: i.Path, Port: i.Port})
	return Outcome{Kind: log.GaugeMoved, Seq: r.Seq}, err
}

// connects says what is wrong with how the gauge is connected.
func connects(g log.GaugeSetup) error {
	_, err := Connection{GaugeSetup: g}.Device()
	return err
}
