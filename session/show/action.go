package show

import (
	"fmt"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
)

// action is what to do with the current rib.
func (w renderer) action(r *book.Rib, v qc.Verdict, next *NextView) string {
	o := w.o
	if !o.Closed.IsZero() {
		return "The batch is closed."
	}
	switch v.Word {
	case qc.Open:
		if next == nil {
			return "Measure what was skipped, or start the next rib: this one cannot pass without it."
		}
		with := ""
		if next.Gauge != "" {
			with = " with " + next.Gauge
		}
		if next.Of > 1 {
			return fmt.Sprintf("Measure %s%s, reading %d of %d.", next.Label, with, next.Reading, next.Of)
		}
		return fmt.Sprintf("Measure %s%s.", next.Label, with)
	case qc.Pass:
		return fmt.Sprintf("Mark rib %s as passed and start the next rib.", r.ID)
	case qc.ReMeasure:
		c, _ := o.Target.Characteristic(v.Worst)
		return fmt.Sprintf("Lift the rib, lay it again and measure %s again, with a finer gauge if there is one.", c.Label())
	case qc.Reject:
		return fmt.Sprintf("Put rib %s aside: it cannot be bent in.", r.ID)
	}
	if text := Advise(w.book.QcBatch(o), r.Rib, v); text != "" {
		return text
	}
	return RebendText(o, v)
}

// RebendText says which way and how far the rib is out, and leaves how to bend it to the advice.
func RebendText(o *book.Batch, v qc.Verdict) string {
	if j, ok := v.Of(qc.Tip); ok && j.Measured && v.Direction != qc.Reshape {
		by := j.Dev.Dev
		if by < 0 {
			by = -by
		}
		verb := "close"
		if v.Direction == qc.OpenUp {
			verb = "open"
		}
		return fmt.Sprintf("RE-BEND: %s the tips by about %s mm, then measure a fresh round.", verb, words.Fixed(by, 100*length.Micrometre))
	}
	var out []string
	for _, j := range v.Chars {
		if j.Lane == qc.LaneOut {
			out = append(out, j.Char.Label()+" "+words.Tenth(j.Dev.Dev)+" mm")
		}
	}
	return "RE-BEND: the tips fit, the curve does not: " + strings.Join(out, ", ") + "; then measure a fresh round."
}
