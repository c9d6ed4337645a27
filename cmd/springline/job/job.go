package job

import (
	"bytes"
	"errors"
	"fmt"
	"time"

	"github.com/pelletier/go-toml/v2"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
)

// Job is a checked job file.
type Job struct {
	Bench  string
	Target qc.Target
	Gauges []log.GaugeSetup
	Lots   []qc.Lot
	Jig    qc.Jig
	Batch  Batch
}

// Batch is the batch that the job opens.
type Batch struct {
	ID, Title, Place, Maker string
	Planned                 int
	Decision                qc.Decision
	Lot                     string       // lot of the first rib
	Pairing                 *qc.PairRule // nil where the job says nothing of it
	CheckedOnly             bool         // values of gauges whose check is not in date wait
}

type file struct {
	Bench  string `toml:"bench"`
	Target struct {
		ID           string `toml:"id"`
		Revision     int    `toml:"revision"`
		Name         string `toml:"name"`
		BarDiameter  string `toml:"bar_diameter"`
		Grade        string `toml:"grade"`
		YieldMPa     int    `toml:"yield_mpa"`
		Leg          string `toml:"leg"`
		Arc          string `toml:"arc"`
		Radius       string `toml:"radius"`
		Face         string `toml:"face"`
		Stations     int    `toml:"stations_per_side"`
		TolTip       string `toml:"tolerance_tip"`
		TolCrown     string `toml:"tolerance_crown"`
		TolStation   string `toml:"tolerance_station"`
		TipReadings  int    `toml:"tip_readings"`
		FrictionBand string `toml:"friction_half_band"`
		shapeFile
	} `toml:"target"`
	Gauge []Gauge `toml:"gauge"`
	Lot   []struct {
		ID        string `toml:"id"`
		Heat      string `toml:"heat"`
		Grade     string `toml:"grade"`
		BarLength string `toml:"bar_length"`
		Note      string `toml:"note"`
	} `toml:"lot"`
	Jig struct {
		ID         string `toml:"id"`
		FaceRadius string `toml:"face_radius"`
		Blocks     int    `toml:"blocks"`
		Note       string `toml:"note"`
	} `toml:"jig"`
	Batch struct {
		ID         string  `toml:"id"`
		Title      string  `toml:"title"`
		Place      string  `toml:"place"`
		Maker      string  `toml:"maker"`
		Planned    int     `toml:"planned"`
		Rule       string  `toml:"rule"`
		Confidence float64 `toml:"confidence"`
		TempHalfK  float64 `toml:"temperature_half_width_k"`
		FaceHalf   string  `toml:"face_half_width"`
		Checked    bool    `toml:"checked_gauges_only"`
		Lot        string  `toml:"lot"`
	} `toml:"batch"`
	Pairing *pairingFile `toml:"pairing"`
}

// Parse reads and checks a job file. An unknown name, a length that could be read two ways and a
// target that cannot be are errors that name the place in the file.
func Parse(text []byte) (Job, error) {
	var f file
	d := toml.NewDecoder(bytes.NewReader(text))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return Job{}, explain(err)
	}
	r := reader{}
	j := Job{Bench: f.Bench}
	if j.Bench == "" {
		j.Bench = "bench-1"
	}
	t := f.Target
	if t.Revision == 0 {
		t.Revision = 1
	}
	spec := qc.ArchSpec{
		ID: t.ID, Revision: t.Revision, Name: t.Name,
		Bar:    qc.Bar{Diameter: r.length("target.bar_diameter", t.BarDiameter), Grade: t.Grade, YieldMPa: t.YieldMPa},
		Buried: r.optional("target.buried_depth", t.Buried),
		Face:   qc.Face(t.Face), StationsPerSide: t.Stations, TipRepeats: t.TipReadings,
		TolTip: r.length("target.tolerance_tip", t.TolTip), TolCrown: r.length("target.tolerance_crown", t.TolCrown),
		TolStation: r.optional("target.tolerance_station", t.TolStation), Band: r.optional("target.friction_half_band", t.FrictionBand),
	}
	r.shape(&spec, t.Leg, t.Arc, t.Radius, t.shapeFile)
	if t.Stations < 0 || t.Stations > 50 {
		r.fail("target.stations_per_side", "is %d; 0 to 50 are possible", t.Stations)
	}
	for i, g := range f.Gauge {
		j.Gauges = append(j.Gauges, r.gauge(fmt.Sprintf("gauge[%d] (%s)", i+1, g.ID), g))
	}
	for i, l := range f.Lot {
		j.Lots = append(j.Lots, qc.Lot{ID: l.ID, Heat: l.Heat, Grade: l.Grade, Note: l.Note,
			BarLength: r.length(fmt.Sprintf("lot[%d].bar_length", i+1), l.BarLength)})
		if l.ID == "" {
			r.fail(fmt.Sprintf("lot[%d].id", i+1), "is empty")
		}
	}
	j.Jig = qc.Jig{ID: f.Jig.ID, FaceRadius: r.length("jig.face_radius", f.Jig.FaceRadius), Blocks: f.Jig.Blocks, Note: f.Jig.Note}
	b := f.Batch
	j.Batch = Batch{ID: b.ID, Title: b.Title, Place: b.Place, Maker: b.Maker, Planned: b.Planned, Lot: b.Lot, Decision: qc.DefaultDecision,
		CheckedOnly: b.Checked}
	if b.Rule != "" {
		j.Batch.Decision.Rule = qc.Rule(b.Rule)
	}
	if b.Confidence != 0 {
		j.Batch.Decision.Confidence = b.Confidence
	}
	if b.TempHalfK != 0 {
		j.Batch.Decision.Conditions.TemperatureHalfWidthK = b.TempHalfK
	}
	j.Batch.Decision.Conditions.FaceHalfWidth = r.optional("batch.face_half_width", b.FaceHalf)
	j.Batch.Pairing = r.pairing(f.Pairing)
	if r.err != nil {
		return Job{}, r.err
	}
	var err error
	if j.Target, err = qc.NewArch(spec); err != nil {
		return Job{}, fmt.Errorf("job file: %w", err)
	}
	return j, j.check()
}

func (j Job) check() error {
	switch {
	case j.Batch.ID == "":
		return errors.New("job file: batch.id is empty; give the batch a short name")
	case j.Jig.ID == "":
		return errors.New("job file: jig.id is empty; name the jig set-up, such as jig-1")
	case len(j.Gauges) == 0:
		return errors.New("job file: no [[gauge]] is stated; one that is only typed from needs no address")
	case len(j.Lots) == 0:
		return errors.New("job file: no [[lot]] of bar is stated")
	}
	if err := j.Batch.Decision.Validate(); err != nil {
		return fmt.Errorf("job file: batch: %w", err)
	}
	gauges := make([]qc.Gauge, len(j.Gauges))
	for i, g := range j.Gauges {
		gauges[i] = g.Gauge
		for _, other := range j.Gauges[:i] {
			if g.Address != "" && g.Address == other.Address && (g.Channel == "" || other.Channel == "") {
				return fmt.Errorf("job file: gauges %q and %q have the same address; where they share a line, give each the channel that its "+
					"frames name", other.ID, g.ID)
			}
		}
	}
	if err := j.Target.CheckProvable(gauges, j.Batch.Decision); err != nil {
		return fmt.Errorf("job file: %w", err)
	}
	return nil
}

func explain(err error) error {
	var strict *toml.StrictMissingError
	if errors.As(err, &strict) {
		return fmt.Errorf("job file: a name is not known here:\n%s", strict.String())
	}
	var de *toml.DecodeError
	if errors.As(err, &de) {
		return fmt.Errorf("job file: not readable:\n%s", de.String())
	}
	return fmt.Errorf("job file: %w", err)
}

// reader keeps the first refusal so that a job reads as one list of fields.
type reader struct {
	err  error
	what string // is read; empty for a job file
}

func (r *reader) fail(at, format string, args ...any) {
	if r.err == nil {
		what := r.what
		if what == "" {
			what = "job file"
		}
		r.err = fmt.Errorf("%s: %s %s", what, at, fmt.Sprintf(format, args...))
	}
}

func (r *reader) length(at, text string) length.Length {
	l, err := length.Parse(text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		r.fail(at, "%v", err)
	}
	return l
}

func (r *reader) optional(at, text string) length.Length {
	if text == "" {
		return 0
	}
	return r.length(at, text)
}

func (r *reader) date(at, text string) time.Time {
	if text == "" {
		return time.Time{}
	}
	d, err := time.Parse(time.DateOnly, text)
	if err != nil {
		r.fail(at, "%q is not a date like 2026-03-31", text)
	}
	return d
}

func (r *reader) kind(at, text string) qc.Kind {
	for _, k := range []qc.Kind{qc.TipToTip, qc.CrownHeight, qc.StationOffset, qc.LegLength, qc.TwistRock, qc.BarDiameter} {
		if string(k) == text {
			return k
		}
	}
	r.fail(at, "%q is not tip-to-tip, crown height, station offset, leg length, twist or bar diameter", text)
	return ""
}
