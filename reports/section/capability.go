package section

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/typeset"
)

const capabilityMethod = "First rounds. Spread seen is one standard deviation; the gauge's part is what repeating a reading " +
	"shows, and the ribs' own part is " +
	"what is left of the variance. p is that of Anderson-Darling: below 0.05 the spread is not taken for normal and no index is given. " +
	"Cpk stands with its one-sided 95 % bound (Bissell); the interval holds 95 % of such ribs with 95 % confidence (exact factor " +
	"for two limits), " +
	"or, in brackets where the spread is not normal, smallest to largest seen with the share that lies between them whatever the " +
	"spread looks like. " +
	"Nothing is shown below 10 ribs, and no p below 8. A jig that moved in between has no one capability: see the chapter before."

// Capability says how the ribs off the jig fit the tolerances, and what the rule risks on ribs like them; nothing
// for fewer than two ribs.
func Capability(fits []qc.Capability) []typeset.Section {
	if len(fits) == 0 {
		return nil
	}
	t := table(col("Characteristic"), num("Ribs", ""), num("Mean", "mm"), num("Spread seen", "mm"), num("Of it gauge", "mm"),
		num("Of it ribs", "mm"), num("Normal?", "p"), num("Cpk", ""), num("at least", "95 %"),
		typeset.Column{Head: "95 % of ribs within", Unit: "mm"}, col("Out"))
	var said []string
	for _, c := range fits {
		t.Rows = append(t.Rows, capabilityRow(c))
		if c.Char.Kind == qc.TipToTip || c.Char.Kind == qc.CrownHeight {
			said = append(said, words.Minus(c.Sentence()), words.Minus(c.RiskSentence()))
		}
	}
	return []typeset.Section{{Key: "capability", Title: "Ribs off the jig against the tolerance",
		Blocks: []typeset.Block{text(capabilityMethod), {Table: t}, {List: said}}}}
}

func capabilityRow(c qc.Capability) typeset.Row {
	gauge, own := "—", "—"
	if c.GaugeFrom != "" {
		gauge, own = words.Digits2(c.Gauge), words.Digits2(c.RibSD)
		if c.GaugeIsAll {
			own = "not seen"
		}
	}
	p, cpk, least, within, out := "—", "—", "—", "—", "—"
	if c.Normality != nil {
		p = words.Decimals(c.Normality.P, 3)
		if c.Normality.P < 0.001 {
			p = "< 0.001"
		}
	}
	if c.N >= qc.CapabilityFrom {
		out = fmt.Sprintf("%d of %d", c.Out, c.N)
		within = fmt.Sprintf("(%s to %s: %.0f %%)", two(c.Smallest), two(c.Largest), 100*c.Covered-.5)
	}
	if c.Index != nil {
		cpk, least = words.Decimals(c.Index.Cpk, 2), words.Decimals(c.Index.CpkLowOneSided, 2)
		within = two(c.HoldLow) + " to " + two(c.HoldHigh)
	}
	r := row(words.Capital(c.Char.Label()), fmt.Sprint(c.N), two(c.Mean), words.Digits2(c.SD), gauge, own, p, cpk, least, within, out)
	r.Cells[8].Bold = true
	return r
}

// two prints a number with two decimals and a sign.
func two(v float64) string { return words.SignedDecimals(v, 2) }
