package job

import (
	"springline/device/port"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
)

// Gauge is a gauge as a job file writes it, every length and date as typed.
type Gauge struct {
	ID         string   `toml:"id"`
	Name       string   `toml:"name"`
	Kind       string   `toml:"kind"`
	Class      string   `toml:"class,omitempty"`
	EndFace    bool     `toml:"end_face,omitempty"`
	Limit      string   `toml:"largest_error,omitempty"`
	Resolution string   `toml:"resolution"`
	Unit       string   `toml:"unit"`
	Measures   []string `toml:"measures"`
	Checked    string   `toml:"checked,omitempty"`
	Due        string   `toml:"due,omitempty"`
	Note       string   `toml:"note,omitempty"`
	Address    string   `toml:"address,omitempty"`
	Line       string   `toml:"line,omitempty"`
	Format     string   `toml:"format,omitempty"`
	Channel    string   `toml:"channel,omitempty"`
}

// Setup checks a gauge that stands in no job file and gives it as it goes on record.
func (g Gauge) Setup() (log.GaugeSetup, error) {
	r := reader{what: "gauge"}
	out := r.gauge(g.ID, g)
	return out, r.err
}

func (r *reader) gauge(at string, g Gauge) log.GaugeSetup {
	out := log.GaugeSetup{Address: g.Address, Channel: g.Channel, Gauge: qc.Gauge{
		ID: g.ID, Name: g.Name, Kind: qc.GaugeKind(g.Kind), Class: qc.TapeClass(g.Class), EndFace: g.EndFace,
		Limit: r.optional(at+".largest_error", g.Limit), Resolution: r.length(at+".resolution", g.Resolution),
		Unit: g.Unit, Checked: r.date(at+".checked", g.Checked), Due: r.date(at+".due", g.Due), CheckNote: g.Note,
	}}
	for _, m := range g.Measures {
		out.Measures = append(out.Measures, r.kind(at+".measures", m))
	}
	if _, ok := length.UnitNamed(g.Unit); !ok {
		r.fail(at+".unit", "%q is not mm, cm, m, in or ft", g.Unit)
	}
	var family string
	if g.Address != "" || g.Format != "" {
		family, out.Format = r.format(at+".format", g.Format)
	}
	if g.Line != "" {
		m, err := port.ParseMode(g.Line)
		if err != nil {
			r.fail(at+".line", "%v", err)
		}
		out.Line = m.String()
	}
	if g.Address == "" && g.Format != "" && family != wire.Keyboard {
		r.fail(at+".address", "is empty; only a keyboard gauge needs none")
	}
	if err := out.Validate(); err != nil && r.err == nil {
		r.err = err
	}
	return out
}
