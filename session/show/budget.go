package show

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
)

// ProofSheet is what the gauge can prove of one characteristic, and what the ribs so far say of it.
type ProofSheet struct {
	Char       string     `json:"char"`
	Label      string     `json:"label"`
	Gauge      string     `json:"gauge"`
	Rib        string     `json:"rib"` // whose measurement it is, empty before it is measured
	Chars      []CharName `json:"chars"`
	Sentence   string     `json:"sentence"` // the largest part and what would shrink it
	Zone       string     `json:"zone"`
	Coverage   string     `json:"coverage"`
	Cosine     string     `json:"cosine"`     // the part that works one way, empty where there is none
	Conformity string     `json:"conformity"` // of the rib on the bench, empty before it is measured
	Help       []string   `json:"help"`       // what would widen a narrow pass zone
	Parts      []PartRow  `json:"parts"`      // the largest first
	Capability string     `json:"capability"` // one sentence
	Risk       string     `json:"risk"`
	Lines      []Fact     `json:"lines"` // the figures behind the last two
}

// PartRow is one part of an uncertainty budget.
type PartRow struct {
	Name  string `json:"name"`
	U     string `json:"u"` // mm
	Share string `json:"share"`
}

// NewProofSheet weighs the measurement of a characteristic on a rib, or one on target where the rib has none
// yet. An empty char takes the first of the round. What cannot be is a *words.Refusal.
func NewProofSheet(b qc.Batch, char, rib string) (ProofSheet, error) {
	c, err := charOf(b.Target, char)
	if err != nil {
		return ProofSheet{}, err
	}
	p, v, err := b.Proof(c, rib)
	if err != nil {
		return ProofSheet{}, words.Problem(words.CodeUnknown, "char", "bind a gauge to it", "%v", err)
	}
	cp := qc.NewCapability(b.Target, b.Bent(), c.ID, b.Decision)
	s := ProofSheet{
		Char: string(c.ID), Label: c.Label(), Gauge: p.Gauge.Name, Chars: charNames(b.Target),
		Sentence: p.Sentence(), Zone: p.Zone(), Coverage: p.CoverageText(), Cosine: p.CosineText(), Help: append([]string{}, p.Help()...),
		Capability: cp.Sentence(), Risk: cp.RiskSentence(), Lines: facts(cp.Lines()), Parts: []PartRow{},
	}
	if v.Measured {
		s.Rib = rib
		s.Conformity = fmt.Sprintf("The %s of rib %s deviates %s mm; it is within its limits with a probability of %s.",
			c.Label(), rib, words.Tenth(v.Dev.Dev), conformityText(v.Conformity))
	}
	for _, sh := range p.Budget.Shares() {
		s.Parts = append(s.Parts, PartRow{sh.Name, words.Digits2(sh.U / 1e6), words.Share(100 * sh.Share)})
	}
	return s, nil
}

// conformityText never rounds to certainty.
func conformityText(p float64) string {
	switch {
	case p > 0.9999:
		return "more than 99.99 %"
	case p < 0.0001:
		return "less than 0.01 %"
	}
	return fmt.Sprintf("%.2f %%", 100*p)
}
