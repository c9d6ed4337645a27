package section

import (
	"fmt"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/typeset"
)

// Decision says how the verdicts were reached and what they cover.
func Decision(b qc.Batch) typeset.Section {
	d := b.Decision
	rule := "Plain acceptance. A characteristic is in where its measured deviation lies within the limits, else out; uncertainty is printed " +
		"but does not count (simple acceptance of JCGM 106), so a value near a limit may be judged wrongly either way. " +
		"A rib is a PASS only when every characteristic of the round is in."
	if d.Rule == qc.Proven {
		z := d.GuardFactor()
		rule = fmt.Sprintf("Proven at %s. A characteristic is in where its deviation lies within the limits by at least %s u, and out "+
			"where it lies "+
			"beyond a limit by more than %s u; u is the standard uncertainty of that very measurement. What lies between is proven neither way and "+
			"makes the rib RE-MEASURE (ISO 14253-1; guard bands of JCGM 106). A rib is a PASS only when every characteristic of the round is in.",
			words.Percent(d.Confidence), z, z)
	}
	var names []string
	for _, c := range b.Target.Round {
		names = append(names, c.Label())
	}
	return typeset.Section{Key: "rule", Title: "Decision rule", Blocks: []typeset.Block{
		text(rule),
		text(fmt.Sprintf("The verdicts cover %s of each rib, against %s. They cover nothing else.", words.List(names), targetName(b.Target))),
		text("Uncertainty: " + doubts(b) + " are combined as the root of the sum of squares. Printed with ± is U = 2 u, about 95 %, " +
			"rounded up. " +
			"It does not cover a wrong face, a misplaced station mark or a damaged gauge."),
		text("Values are compared with their limits exactly, in whole nanometres; only what is printed is rounded, ties to the even digit, " +
			"to the resolution of the gauge, and finer where a rounded number would contradict its limit."),
	}}
}

// doubts names what the uncertainty is made of.
func doubts(b qc.Batch) string {
	c := b.Decision.Conditions
	list := []string{
		"the gauge's allowed error (over √3)",
		"its resolution (over √12)",
		"its repeatability where a gauge study found it (over the root of the readings)",
		"the friction half-band found by lifting and laying again, or the one assumed (over √3)",
	}
	if c.TemperatureHalfWidthK > 0 {
		unread := ""
		if len(b.Temps) > 0 {
			unread = " where their temperatures were not read"
		}
		list = append(list, fmt.Sprintf("bar and gauge up to %s K from 20 °C or from each other%s (over √3)",
			words.Shortest(c.TemperatureHalfWidthK), unread))
	}
	if c.FaceHalfWidth > 0 {
		list = append(list, fmt.Sprintf("doubt of ± %s about the face taken (over √3)", words.Exact(c.FaceHalfWidth)))
	}
	return words.List(list)
}
