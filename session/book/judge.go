package book

import (
	"springline/qc"
	"springline/qc/words"
)

// Judge works the rib's verdict out; with an error it is open. The ribs of a closed batch are judged by the
// gauges as they stood at closing, so that no later study or check changes them.
func (s *Book) Judge(b *Batch, r *Rib) (qc.Verdict, error) {
	v, err := qc.Judge(b.Target, r.Rib, s.GaugeIn(b), b.Decision)
	if err != nil {
		v = qc.Verdict{Word: qc.Open, Why: words.Prose{Text: err.Error()},
			Rule: b.Decision.Rule, Confidence: b.Decision.Confidence, Round: r.Round}
	}
	return v, err
}

// GaugesOf are the gauges that the batch is judged by.
func (s *Book) GaugesOf(b *Batch) []qc.Gauge {
	if b.Closed.IsZero() {
		return s.QcGauges()
	}
	return b.gauges
}

// GaugeIn finds a gauge among those that the batch is judged by.
func (s *Book) GaugeIn(b *Batch) qc.GaugeOf {
	if b.Closed.IsZero() {
		return s.Gauge
	}
	return func(id string) (qc.Gauge, bool) {
		return find(b.gauges, func(g qc.Gauge) bool { return g.ID == id })
	}
}

// weigh marks that a record changed a gauge, and so what the ribs of the open batch are judged by.
func (s *Book) weigh(seq int64) {
	if b := s.Open(); b != nil {
		b.Weighed = seq
	}
}

func (s *Book) wordOf(b *Batch, r *Rib) qc.Word {
	v, _ := s.Judge(b, r) // one that cannot be judged is open
	return v.Word
}
