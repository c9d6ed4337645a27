package reports

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// decision says how the verdicts were reached and what they cover.
func decision(w work) Section {
	d := w.b.Decision
	s := Section{Key: "rule", Title: "Decision rule"}
	add := func(text string) { s.Blocks = append(s.Blocks, Block{Text: text}) }
	if d.Rule == qc.Proven {
		z := factor(d.Confidence)
		add(fmt.Sprintf("Proven at %s. A characteristic is in where its deviation lies within the limits by at least %s u, and out where it lies "+
			"beyond a limit by more than %s u; u is the standard uncertainty of that very measurement. What lies between is proven neither way and "+
			"makes the rib RE-MEASURE (ISO 14253-1; guard bands of JCGM 106). A rib is a PASS only when every characteristic of the round is in.",
			percent(d.Confidence), z, z))
	} else {
		add("Plain acceptance. A characteristic is in where its measured deviation lies within the limits, else out; uncertainty is printed " +
			"but does not count (simple acceptance of JCGM 106), so a value near a limit may be judged wrongly either way. " +
			"A rib is a PASS only when every characteristic of the round is in.")
	}
	add(covers(w))
	add("Uncertainty: " + parts(w) + " are combined as the root of the sum of squares. Printed with ± is U = 2 u, about 95 %, rounded up. " +
		"It does not cover a wrong face, a misplaced station mark or a damaged gauge.")
	add("Values are compared with their limits exactly, in whole nanometres; only what is printed is rounded, ties to the even digit, " +
		"to the resolution of the gauge, and finer where a rounded number would contradict its limit.")
	return s
}

// factor prints the one-sided normal quantile of a confidence to three decimals.
func factor(confidence float64) string {
	return qc.Guard(float64(length.Millimetre), confidence, math.Inf(1)).Text(length.MM, length.Micrometre)
}

func percent(p float64) string {
	return strconv.FormatFloat(100*p, 'f', -1, 32) + " %"
}

// covers names what the verdict is about: the characteristics, the target and nothing else.
func covers(w work) string {
	var names []string
	for _, c := range w.b.Target.Round {
		names = append(names, c.Label())
	}
	return fmt.Sprintf("The verdicts cover %s of each rib, against %s. They cover nothing else.", enumerate(names), targetName(w.b.Target))
}

func enumerate(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func parts(w work) string {
	c := w.b.Decision.Conditions
	list := []string{
		"the gauge's allowed error (over √3)",
		"its resolution (over √12)",
		"its repeatability where a gauge study found it (over the root of the readings)",
		"the friction half-band found by lifting and laying again, or the one assumed (over √3)",
	}
	if c.TemperatureHalfWidthK > 0 {
		unread := ""
		if len(w.b.Temps) > 0 {
			unread = " where their temperatures were not read"
		}
		list = append(list, fmt.Sprintf("bar and gauge up to %s K from 20 °C or from each other%s (over √3)",
			strconv.FormatFloat(c.TemperatureHalfWidthK, 'f', -1, 64), unread))
	}
	if c.FaceHalfWidth > 0 {
		list = append(list, fmt.Sprintf("doubt of ± %s mm about the face taken (over √3)", exact(c.FaceHalfWidth)))
	}
	return enumerate(list)
}
