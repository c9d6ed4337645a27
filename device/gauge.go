package device

import (
	"fmt"
	"strings"

	"springline/device/port"
	"springline/device/wire"
)

// Kind is what stands behind a gauge.
type Kind string

// The kinds of gauge.
const (
	Caliper  Kind = "caliper"
	Tape     Kind = "tape"
	Keyboard Kind = "keyboard" // types its readings as keys; they come through Hub.Keys
	TypedIn  Kind = "typed"    // a person reads a scale and types; readings come from Typed
)

// Gauge is how one gauge is found, opened and read. A caliper or tape has an Address or an Identity;
// with both, the identity counts. A keyboard gauge has neither.
type Gauge struct {
	ID         string        `json:"id"`
	Name       string        `json:"name,omitempty"`
	Kind       Kind          `json:"kind"`
	Address    string        `json:"address,omitempty"` // see port.ParseAddress
	Identity   port.Identity `json:"identity,omitzero"`
	Channel    string        `json:"channel,omitempty"` // as its frames name it, where several gauges share a line
	Mode       port.Mode     `json:"mode,omitzero"`
	Format     wire.Format   `json:"format"`
	Unit       string        `json:"unit,omitempty"`       // mm cm m in ft
	Resolution string        `json:"resolution,omitempty"` // decimal text in Unit
}

// Validate says what is missing or cannot be; each error names the field.
func (g Gauge) Validate() error {
	bad := func(field, why string) error {
		return fmt.Errorf("gauge %q: %s: %s", g.ID, field, why)
	}
	if g.ID == "" || strings.TrimSpace(g.ID) != g.ID {
		return bad("id", "give the gauge a short name without spaces around it")
	}
	if err := g.Mode.Validate(); err != nil {
		return bad("mode", err.Error())
	}
	switch g.Kind {
	case TypedIn:
		return nil
	case Keyboard:
		if g.Format.Family != wire.Keyboard {
			return bad("format", "a keyboard gauge needs a format of family keyboard")
		}
		return nil
	case Caliper, Tape:
	default:
		return bad("kind", fmt.Sprintf("%q is not one of caliper, tape, keyboard, typed", g.Kind))
	}
	if !g.Identity.IsZero() {
		return nil
	}
	if _, err := port.ParseAddress(g.Address); err != nil {
		return bad("address", err.Error())
	}
	return nil
}
