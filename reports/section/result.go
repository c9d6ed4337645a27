package section

import (
	"fmt"
	"math"
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// Result is the answer in one sentence and one small table.
func Result(b qc.Judged) typeset.Section {
	return typeset.Section{Key: "result", Title: "Result", Together: true, Blocks: []typeset.Block{
		text(finding(b)), {Table: verdictTable(b, true)}}}
}

// finding is the whole batch in one sentence.
func finding(b qc.Judged) string {
	n, pass := len(b.InOrder), len(b.With(qc.Pass))
	s := fmt.Sprintf("%d of %s PASS", pass, words.Count(n, "rib", "ribs"))
	switch {
	case n == 0:
		return "No rib is on record yet: nothing has been judged and nothing has passed."
	case n == 1 && pass == 1:
		s = "The one rib on record is a PASS"
	}
	sep := "; "
	for _, word := range qc.Words() {
		if k := len(b.With(word)); k > 0 && word != qc.Pass {
			s += fmt.Sprintf("%s%d %s", sep, k, word)
			sep = ", "
		}
	}
	if b.Planned > n {
		s += fmt.Sprintf("; %d of %d planned not bent or not measured yet", b.Planned-n, b.Planned)
	}
	return s + "."
}

func verdictTable(b qc.Judged, named bool) *typeset.Table {
	t := table(col("Verdict"), num("Ribs", ""), col("Meaning"))
	if named {
		t.Columns = append(t.Columns, col("Which"))
	}
	for _, word := range qc.Words() {
		var ids []string
		for _, r := range b.With(word) {
			ids = append(ids, r.ID)
		}
		cs := cells(string(word), fmt.Sprint(len(ids)), meaning(word))
		cs[0].Sign, cs[0].Bold = picture.SignOf(word), true
		if named {
			cs = append(cs, typeset.Cell{Text: or(strings.Join(ids, ", "), "none")})
		}
		t.Rows = append(t.Rows, typeset.Row{Cells: cs})
	}
	return t
}

// meaning is what a verdict word says.
func meaning(w qc.Word) string {
	switch w {
	case qc.Pass:
		return "within every limit"
	case qc.ReBend:
		return "out of limits, can be bent in"
	case qc.ReMeasure:
		return "too near a limit to tell; measure again with less doubt"
	case qc.Reject:
		return "out of limits, cannot be bent in"
	case qc.Open:
		return "not all measured; not passed"
	}
	return ""
}

// verdictCell is the verdict with which way to bend, or else with what is least sure.
func verdictCell(v qc.Verdict) typeset.Cell {
	second := ""
	switch v.Direction {
	case qc.Close:
		second = "close the tips"
	case qc.OpenUp:
		second = "open the tips"
	case qc.Reshape:
		second = "reshape"
	default:
		second = leastSure(v)
	}
	return typeset.Cell{Text: string(v.Word), Second: second, Sign: picture.SignOf(v.Word), Bold: true}
}

// leastSure names the characteristic that is least sure to be within its limits and how sure it is, rounded
// down; nothing for an unfinished rib.
func leastSure(v qc.Verdict) string {
	var least *qc.Judgement
	for i := range v.Chars {
		if j := &v.Chars[i]; !j.Measured {
			return ""
		} else if least == nil || j.Conformity < least.Conformity {
			least = j
		}
	}
	if least == nil {
		return ""
	}
	if least.Conformity >= 0.999 {
		return "over 99.9 %"
	}
	name := least.Char.Label()
	switch least.Char.Kind {
	case qc.TipToTip:
		name = "tips"
	case qc.CrownHeight:
		name = "crown"
	}
	return fmt.Sprintf("%s %.1f %%", name, math.Floor(1000*least.Conformity)/10)
}
