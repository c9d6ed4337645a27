package reports

import (
	"fmt"
	"math"
	"strings"

	"springline/qc"
	"springline/reports/draw"
)

// verdictSign is the shape that goes with a verdict word, and what the word asks for.
var verdictSigns = map[qc.Word]struct {
	sign    draw.Sign
	meaning string
}{
	qc.Pass:      {draw.DiscTick, "within every limit"},
	qc.ReBend:    {draw.StripedOct, "out of limits, can be bent in"},
	qc.ReMeasure: {draw.DottedTri, "too near a limit to tell; measure again with less doubt"},
	qc.Reject:    {draw.DiamondCross, "out of limits, cannot be bent in"},
	qc.Open:      {draw.HollowSquare, "not all measured; not passed"},
}

func signOf(w qc.Word) draw.Sign { return verdictSigns[w].sign }
func meaningOf(w qc.Word) string { return verdictSigns[w].meaning }
func verdictCell(v qc.Verdict) Cell {
	second := directionText(v)
	if second == "" {
		second = leastSure(v)
	}
	return Cell{Text: string(v.Word), Second: second, Sign: signOf(v.Word), Bold: true}
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
	return fmt.Sprintf("%s %.1f %%", shortest(least.Char), math.Floor(1000*least.Conformity)/10)
}

// shortest is the shortest name of a characteristic that is still clear.
func shortest(c qc.Characteristic) string {
	switch c.Kind {
	case qc.TipToTip:
		return "tips"
	case qc.CrownHeight:
		return "crown"
	}
	return c.Label()
}

// directionText says which way to bend.
func directionText(v qc.Verdict) string {
	switch v.Direction {
	case qc.Close:
		return "close the tips"
	case qc.OpenUp:
		return "open the tips"
	case qc.Reshape:
		return "reshape"
	}
	return ""
}

// charMark stands after a deviation: beyond its upper or lower limit, or too near to tell.
func charMark(j qc.Judgement) string {
	switch {
	case !j.Measured:
		return ""
	case j.Lane == qc.LaneUnsure:
		return "?"
	case j.Lane == qc.LaneOut && j.Dev.Dev > 0:
		return "▲"
	case j.Lane == qc.LaneOut:
		return "▼"
	}
	return ""
}

const markKey = "Bold: what decides the verdict. ▲ beyond the upper limit, ▼ beyond the lower limit, ? too near a limit to tell, — not measured. Below a verdict: which way to bend, or the characteristic least sure to be within its limits and the probability that it is (JCGM 106)."

func title(b qc.Batch, o Options) string {
	kind := "Batch report"
	if o.Blank {
		kind = "Measuring sheet"
	}
	if b.Title == "" {
		return kind + ": batch " + b.ID
	}
	return kind + ": " + b.Title
}

// reportID names batch, bench, epoch and the stretch of the record: two reports with the same id say
// the same.
func reportID(b qc.Batch) string {
	r := b.Record
	if r.Last == 0 {
		return b.ID
	}
	return fmt.Sprintf("%s/%s/%d/%d-%d", b.ID, r.Bench, r.Epoch, r.First, r.Last)
}

func running(b qc.Batch, o Options) []string {
	name := "Batch " + b.ID
	if b.Title != "" {
		name += " · " + b.Title
	}
	if o.Blank {
		return []string{name, "Empty sheet, to be filled in by hand"}
	}
	return []string{name, "As of " + stamp(b.AsOf) + " · Report " + reportID(b)}
}

func foot(b qc.Batch, o Options) []string {
	if o.Blank {
		return []string{o.Software}
	}
	c := b.Counts
	return []string{
		fmt.Sprintf("%s · record %d to %d · head %s", o.Software, b.Record.First, b.Record.Last, short(b.Record.Head)),
		fmt.Sprintf("Values that count %d · taken again %d · voided %d · typed %d", c.Measured, c.Again, c.Voided, c.Typed),
	}
}

// short is the beginning of a chain value, enough to compare by eye.
func short(head string) string {
	if len(head) > 12 {
		return head[:12]
	}
	return head
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

// sentence starts with a capital and ends with a full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	s = minus(strings.ToUpper(s[:1]) + s[1:])
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}
