package section

import (
	"fmt"

	"springline/qc"
	"springline/reports/picture"
	"springline/reports/typeset"
)

// Charts draws the batch in bend order and the shape of the ribs that need a hand; nothing for no ribs.
func Charts(b qc.Judged) []typeset.Section {
	if len(b.InOrder) == 0 {
		return nil
	}
	s := typeset.Section{Key: "charts", Title: "Deviations in bend order", Blocks: []typeset.Block{{Text: "Whiskers are U. Disc: in; " +
		"open triangle: too near a limit to tell; solid diamond: out; ?: not measured. Heavy lines are the limits."}}}
	for _, c := range b.Target.Round {
		if c.Kind != qc.StationOffset {
			d := picture.Deviations(b, c, typeset.Width)
			s.Blocks = append(s.Blocks, typeset.Block{Figure: &d})
		}
	}
	if d, ok := picture.WorstStations(b, typeset.Width); ok {
		s.Blocks = append(s.Blocks, typeset.Block{Figure: &d})
	}
	out := []typeset.Section{s}
	if d, ok := picture.Spring(b.Batch, typeset.Width); ok {
		out = append(out, typeset.Section{Key: "spring", Title: "Spring constant in bend order", Blocks: []typeset.Block{
			{Text: "The spring constant fy/(E d) is learned from each rib as it came off the jig, beside the mean of the ribs bent before and " +
				"after it on one set-up from one lot. It tells how far the bar springs back and is not its yield stress. " +
				"Lines: what bars of one lot scatter by, twice the standard deviation."},
			{Figure: &d},
		}})
	}
	if d, times, ok := picture.Shapes(b, typeset.Width); ok {
		out = append(out, typeset.Section{Key: "shapes", Title: "Shape over target", Blocks: []typeset.Block{
			{Text: fmt.Sprintf("Thin line: target centreline. Heavy line: the rib, its deviations enlarged %d times, straight between the measured "+
				"points (dots). Leg A is on the left. Crown height is measured from the tips, not from the curve, and is not drawn.", times)},
			{Figure: &d},
		}})
	}
	return out
}
