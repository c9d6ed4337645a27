package job

import (
	"bytes"
	"fmt"

	"github.com/pelletier/go-toml/v2"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
)

// gaugeFile is a gauge as a job file writes it.
type gaugeFile struct {
	ID         string   `toml:"id"`
	Name       string   `toml:"name"`
	Kind       string   `toml:"kind"`
	Class      string   `toml:"class"`
	EndFace    bool     `toml:"end_face"`
	Limit      string   `toml:"largest_error"`
	Resolution string   `toml:"resolution"`
	Unit       string   `toml:"unit"`
	Measures   []string `toml:"measures"`
	Checked    string   `toml:"checked"`
	Due        string   `toml:"due"`
	Note       string   `toml:"note"`
	Address    string   `toml:"address"`
	Channel    string   `toml:"channel"`
	Line       string   `toml:"line"`
	Format     string   `toml:"format"`
}

// ParseGauge reads and checks one gauge, written as in a job file but without the heading.
func ParseGauge(text []byte) (Gauge, error) {
	var f gaugeFile
	d := toml.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return Gauge{}, fmt.Errorf("gauge: not readable: %w", err)
	}
	r := reader{what: "gauge"}
	g := r.gauge(f.ID, f)
	return g, r.err
}

func (r *reader) gauge(at string, g gaugeFile) Gauge {
	out := Gauge{Address: g.Address, Channel: g.Channel, Gauge: qc.Gauge{
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
	if g.Address != "" || g.Format != "" {
		out.Format = r.format(at+".format", g.Format)
	}
	if g.Line != "" {
		m, err := port.ParseMode(g.Line)
		if err != nil {
			r.fail(at+".line", "%v", err)
		}
		out.Line = m
	}
	if g.Address == "" && g.Format != "" && out.Format.Family != wire.Keyboard {
		r.fail(at+".address", "is empty; only a keyboard gauge needs none")
	}
	if err := out.Validate(); err != nil && r.err == nil {
		r.err = err
	}
	return out
}
