package qc

import (
	"fmt"
	"math"

	"springline/qc/words"
)

// Line is one thing said of a batch: its name and its value in words.
type Line struct{ Name, Value string }

// Sentence says in one sentence how the ribs off the jig fit the tolerance, or what is still lacking.
func (c Capability) Sentence() string {
	what := c.Char.Label()
	switch {
	case c.N < CapabilityFrom:
		return fmt.Sprintf("%s: nothing is said of the spread below %d ribs; %d so far.", words.Capital(what), CapabilityFrom, c.N)
	case c.SD == 0:
		return fmt.Sprintf("%s: all %d ribs read the same; the gauge's step hides their spread.", words.Capital(what), c.N)
	case c.Index == nil:
		return fmt.Sprintf("%s: the spread is not normal (%s), so only what was seen counts: %d of "+
			"%d ribs came off the jig outside, which is %s to %s of such ribs at 95 %%.",
			words.Capital(what), probability(c.Normality.P), c.Out, c.N, words.Portion(c.OutLow), words.Portion(c.OutHigh))
	case c.Index.CpkLowOneSided >= 1.33:
		return fmt.Sprintf("%s: the jig holds the tolerance well; Cpk is at least %.2f, 95 %% sure from %d ribs.",
			words.Capital(what), c.Index.CpkLowOneSided, c.N)
	case c.Index.CpkLowOneSided >= 1:
		return fmt.Sprintf("%s: the jig holds the tolerance; Cpk is at least %.2f, 95 %% sure from %d ribs.",
			words.Capital(what), c.Index.CpkLowOneSided, c.N)
	case c.Index.Cpk >= 1:
		return fmt.Sprintf("%s: Cpk is %.2f but %d ribs prove only %.2f (95 %%); more ribs would tell.",
			words.Capital(what), c.Index.Cpk, c.N, c.Index.CpkLowOneSided)
	case math.Abs(c.Mean) > c.SD && c.Index.Cp >= 1:
		return fmt.Sprintf("%s: the ribs are alike and off the middle by %s mm; setting the jig right would bring them in (Cp %.2f, Cpk %.2f).",
			words.Capital(what), words.SignedDecimals(c.Mean, 2), c.Index.Cp, c.Index.Cpk)
	default:
		return fmt.Sprintf("%s: the jig does not hold this tolerance by itself; about %s of ribs come off it outside and need a hand (Cpk %.2f).",
			words.Capital(what), words.Portion(c.Index.BelowLower+c.Index.AboveUpper), c.Index.Cpk)
	}
}

// Lines are the figures, those left out for which there are too few ribs.
func (c Capability) Lines() []Line {
	if c.N < 2 {
		return nil
	}
	lines := []Line{{"ribs off the jig", c.countText()},
		{"mean deviation", words.SignedDecimals(c.Mean, 2) + " mm"}, {"spread seen (sd)", words.Digits2(c.SD) + " mm"}}
	lines = append(lines, c.gaugeLines()...)
	if c.N < CapabilityFrom {
		return append(lines, Line{"more", fmt.Sprintf("from %d ribs on", CapabilityFrom)})
	}
	if c.Normality != nil {
		word := "nothing speaks against a normal spread"
		if !c.Normal() {
			word = "not normal: two kinds of ribs mixed, or strays"
		}
		lines = append(lines, Line{"normality (Anderson-Darling)",
			fmt.Sprintf("%s (A2* %.2f, %s)", word, c.Normality.A2Star, probability(c.Normality.P))})
	}
	if i := c.Index; i != nil {
		lines = append(lines,
			Line{"Cp", fmt.Sprintf("%.2f (95 %%: %.2f to %.2f)", i.Cp, i.CpLow, i.CpHigh)},
			Line{"Cpk", fmt.Sprintf("%.2f; at least %.2f, 95 %% sure", i.Cpk, i.CpkLowOneSided)},
			Line{"95 % of such ribs lie within", fmt.Sprintf("%s to %s mm, 95 %% sure",
				words.SignedDecimals(c.HoldLow, 2), words.SignedDecimals(c.HoldHigh, 2))})
	}
	lines = append(lines,
		Line{"smallest to largest seen", fmt.Sprintf("%s to %s mm; at least %s of such ribs, 95 %% sure, whatever their spread looks "+
			"like", words.SignedDecimals(c.Smallest, 2), words.SignedDecimals(c.Largest, 2), words.Portion(c.Covered))},
		Line{"outside as measured", fmt.Sprintf("%d of %d; %s to %s of such ribs at 95 %%",
			c.Out, c.N, words.Portion(c.OutLow), words.Portion(c.OutHigh))})
	return lines
}

func (c Capability) countText() string {
	text := fmt.Sprintf("%d, first rounds", c.N)
	if c.Stretches > 1 {
		text += fmt.Sprintf("; %d jig set-ups or lots are mixed in them", c.Stretches)
	}
	return text
}

// gaugeLines separate what the gauge adds from what the ribs do.
func (c Capability) gaugeLines() []Line {
	if c.GaugeFrom == "" {
		return []Line{{"of it from the gauge", "not known: take two readings on each rib, or make a gauge study"}}
	}
	lines := []Line{{"of it from repeating the reading", fmt.Sprintf("%s mm on %d degrees of freedom, from %s",
		words.Digits2(c.Gauge), c.GaugeDOF, c.GaugeFrom)}}
	if c.GaugeIsAll {
		return append(lines, Line{"of it from the ribs", "none that shows: repeating the reading explains all that was seen"})
	}
	return append(lines, Line{"of it from the ribs", fmt.Sprintf("%s mm", words.Digits2(c.RibSD))})
}

// RiskSentence states consumer's and producer's risk of the rule on ribs like these, or why it cannot.
func (c Capability) RiskSentence() string {
	what := c.Char.Label()
	if c.Risk == nil {
		switch {
		case c.N < CapabilityFrom:
			return fmt.Sprintf("%s: the risks are not stated below %d ribs.", words.Capital(what), CapabilityFrom)
		case c.Index == nil:
			return fmt.Sprintf("%s: the risks are not stated, because the spread of the ribs is not normal or does not show.", words.Capital(what))
		}
		return fmt.Sprintf("%s: the risks are not stated, because the gauge explains all the spread that was seen.", words.Capital(what))
	}
	return fmt.Sprintf("%s: of ribs as they come off this jig, %s would be out and still be passed (consumer's risk), "+
		"and %s would be good and still be sent back to be measured or bent again (producer's risk).",
		words.Capital(what), inThousand(c.Risk.FalseAccept), inThousand(c.Risk.FalseReject))
}

func inThousand(p float64) string {
	switch {
	case p < 0.0001:
		return "fewer than 1 in 10,000"
	case p < 0.00095:
		return fmt.Sprintf("about %.0f in 10,000", p*10000)
	default:
		return fmt.Sprintf("about %.0f in 1,000", p*1000)
	}
}

func probability(p float64) string {
	if p < 0.001 {
		return "p < 0.001"
	}
	return fmt.Sprintf("p = %.3f", p)
}
