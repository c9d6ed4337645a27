package reports

import (
	"fmt"

	"springline/qc"
)

// Options are the few things a report needs that are not on record.
type Options struct {
	Software string // name and version of the program; "springline" when empty
	Blank    bool   // the same sheet empty, to be filled in by hand
}

// New builds the report of a batch. It fails when a rib cannot be judged, which is when a measurement
// names a gauge that is not in the batch, and when the batch has no target.
func New(b qc.Batch) (Model, error) { return NewWith(b, Options{}) }

// NewForm builds the batch's sheet empty, for when the computer is dead: a line for every rib planned
// and a place for every number, in the order of the round.
func NewForm(b qc.Batch) (Model, error) { return NewWith(b, Options{Blank: true}) }

// NewWith is New with options.
func NewWith(b qc.Batch, o Options) (Model, error) {
	if o.Software == "" {
		o.Software = "springline"
	}
	if len(b.Target.Round) == 0 {
		return Model{}, fmt.Errorf("report on batch %q: the target has no characteristics; open the batch with a target", b.ID)
	}
	if o.Blank {
		b = emptied(b)
	}
	w, err := newWork(b, o)
	if err != nil {
		return Model{}, fmt.Errorf("report on batch %q: %w", b.ID, err)
	}
	m := Model{ID: reportID(b), Title: title(b, o), Software: o.Software, Running: running(b, o), Foot: foot(b, o)}
	m.Sections = append(m.Sections, heading(w))
	if !o.Blank {
		m.Sections = append(m.Sections, result(w))
	}
	if o.Blank {
		m.Sections = append(m.Sections, target(w), gauges(w), ribs(w), pairs(w), decision(w))
	} else {
		m.Sections = append(m.Sections, target(w), gauges(w), decision(w))
		m.Sections = append(m.Sections, proofs(w)...)
		m.Sections = append(m.Sections, ribs(w))
		m.Sections = append(m.Sections, figures(w)...)
		m.Sections = append(m.Sections, drifts(w)...)
		m.Sections = append(m.Sections, capabilities(w)...)
		gauged, err := studies(w)
		if err != nil {
			return Model{}, fmt.Errorf("report on batch %q: %w", b.ID, err)
		}
		m.Sections = append(m.Sections, gauged...)
		m.Sections = append(m.Sections, pairs(w), values(w))
	}
	m.Sections = append(m.Sections, cautions())
	if !o.Blank {
		code, err := record(w)
		if err != nil {
			return Model{}, fmt.Errorf("report on batch %q: %w", b.ID, err)
		}
		m.Sections = append(m.Sections, code)
	}
	m.Sections = append(m.Sections, signatures(w))
	m.Document = document(w, m)
	return m, nil
}

// emptied keeps what is planned and drops what was measured.
func emptied(b qc.Batch) qc.Batch {
	b.Planned = max(b.Planned, len(b.Ribs))
	b.Ribs, b.Pairs, b.Spares, b.SpareWhy, b.Order, b.Counts, b.Record = nil, nil, nil, nil, nil, qc.Counts{}, qc.Record{}
	return b
}

// work is a batch judged, in the order of the report.
type work struct {
	b      qc.Batch
	o      Options
	ribs   []judged // what needs a hand first
	bent   []judged // in bend order
	places map[qc.CharID]int
}

// judged is a rib with its verdict.
type judged struct {
	qc.Rib
	v qc.Verdict
}

func newWork(b qc.Batch, o Options) (work, error) {
	w := work{b: b, o: o, places: map[qc.CharID]int{}}
	for _, r := range b.Ribs {
		v, err := b.Judge(r)
		if err != nil {
			return work{}, err
		}
		w.bent = append(w.bent, judged{r, v})
	}
	for _, word := range qc.Words() {
		for _, j := range w.bent {
			if j.v.Word == word {
				w.ribs = append(w.ribs, j)
			}
		}
	}
	if len(w.ribs) != len(w.bent) {
		return work{}, fmt.Errorf("%d of %d ribs have a verdict that the report has no place for", len(w.bent)-len(w.ribs), len(w.bent))
	}
	for _, c := range b.Target.Round {
		w.places[c.ID] = deviationPlaces(c, w.measured(c.ID), b.Gauge)
	}
	return w, nil
}

// measured returns the judgements on characteristic c of all ribs that have one, in bend order.
func (w work) measured(c qc.CharID) []qc.Judgement {
	var js []qc.Judgement
	for _, r := range w.bent {
		if j, ok := r.v.Of(c); ok && j.Measured {
			js = append(js, j)
		}
	}
	return js
}

// count returns the number of ribs with a verdict word.
func (w work) count(word qc.Word) int {
	n := 0
	for _, r := range w.ribs {
		if r.v.Word == word {
			n++
		}
	}
	return n
}
