package doubt

import (
	"time"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// moveWindow is how fast nobody gets a gauge from one place to the next and sends again (common practice, no source).
const moveWindow = 2 * time.Second

// Question is why a value does not count by itself, and what a person has to decide.
type Question struct {
	Why     words.Finding
	Ask     words.Finding
	Suggest length.Length
	Repeat  bool // it does not agree with the other readings of its round: counts only with a written cause
}

// Of looks for the blunders that a value bound to ch may be. Order matters: the most telling
// explanation is asked about.
func Of(s *book.Book, o *book.Batch, r *book.Rib, ch qc.Characteristic, rd log.ReadingBody, at time.Time) (Question, bool) {
	v := length.Length(rd.ValueNM)
	if q, ok := sentTwice(s, r, ch, rd, at, 0); ok {
		return q, true
	}
	if q, ok := implausible(o, r, ch, v); ok {
		return q, true
	}
	return Disagree(s, o, r, ch, rd)
}

// implausible looks for the blunders that show in the value itself.
func implausible(o *book.Batch, r *book.Rib, ch qc.Characteristic, v length.Length) (Question, bool) {
	if v < 0 && !ch.Kind.Signed() || v == 0 && ch.Nominal > 0 {
		return Question{Why: words.ValueCannotBe{Char: words.Char(ch.ID), Value: v}, Ask: words.MeasureAgain{}}, true
	}
	if far(ch, v) {
		if slip, ok := length.SlipOf(v, ch.Nominal); ok {
			return Question{Why: words.UnitSlip{Value: v, Wanted: ch.Nominal, Factor: slip.Factor},
				Ask: words.MeantInstead{Meant: slip.Meant}, Suggest: slip.Meant}, true
		}
		return Question{Why: words.ValueFar{Char: words.Char(ch.ID), Value: v, Wanted: ch.Nominal}, Ask: words.TakeOrAgain{}}, true
	}
	if q, ok := ImpossiblePair(o.TargetOf(r), r, ch, v); ok {
		return q, true
	}
	return Question{}, false
}

// sentTwice tells a second send of one value from an equal second part: only the time does.
func sentTwice(s *book.Book, r *book.Rib, ch qc.Characteristic, rd log.ReadingBody, at time.Time, step int) (Question, bool) {
	last, ok := s.Sent[rd.Gauge]
	if !ok || qc.Entry(rd.Entry) != qc.Sent || last.Text != rd.Text || last.Unit != rd.Unit {
		return Question{}, false
	}
	passed := at.Sub(last.At)
	if passed < 0 {
		passed = -passed
	}
	switch {
	case passed <= wire.DupWindow:
		return Question{Why: words.SentTwice{WithinMS: wire.DupWindow.Milliseconds()}, Ask: words.BouncedOrSecond{}}, true
	case passed <= moveWindow && (last.Char != ch.ID || last.Rib != r.ID || last.Step != step):
		return Question{Why: words.SentAgain{Char: words.Char(ch.ID)}, Ask: words.WasMoved{Char: words.Char(ch.ID)}}, true
	}
	return Question{}, false
}

// far reports whether a value lies outside the plausible zone: 20 half-widths of the tolerance around
// the target value, and no more than a quarter of it (common practice, no source). A rib just off the
// jig is within; a slipped unit, a missed digit or the wrong gauge is not.
func far(ch qc.Characteristic, v length.Length) bool {
	zone := 20 * ch.HalfWidth()
	if ch.Nominal > 0 {
		zone = max(min(zone, ch.Nominal/4), 2*ch.HalfWidth())
	}
	d := v - ch.Nominal
	return d > zone || d < -zone
}

// ImpossiblePair checks tip-to-tip and crown height against each other: the bar runs from tip to crown
// to tip, so its length is at least the two straight lines; and while neither leg leans outward, at
// most across and up. The faces measured may add a diameter to each.
func ImpossiblePair(t qc.Target, r *book.Rib, ch qc.Characteristic, v length.Length) (Question, bool) {
	tip, crown := v, v
	var other qc.CharID
	switch ch.Kind {
	case qc.TipToTip:
		other = qc.Crown
	case qc.CrownHeight:
		other = qc.Tip
	default:
		return Question{}, false
	}
	oc, ok := t.Characteristic(other)
	if !ok {
		return Question{}, false
	}
	d, ok := r.Deviation(oc)
	if !ok {
		return Question{}, false
	}
	if other == qc.Tip {
		tip = d.Value
	} else {
		crown = d.Value
	}
	w, h, bar, slack := tip.MM(), crown.MM(), t.BarLength().MM(), 2*t.Bar.Diameter.MM()
	halfTurn := 3.141592653589793 * t.Radius.MM() // an arc of up to half a turn keeps its legs from leaning out
	tooShort := w*w+4*h*h > (bar+slack)*(bar+slack)
	tooLong := t.Arc.MM() <= halfTurn && w+2*h < bar-slack
	if !tooShort && !tooLong {
		return Question{}, false
	}
	return Question{Why: words.PairImpossible{Tip: tip, Crown: crown, Bar: t.BarLength()}, Ask: words.OneIsWrong{}}, true
}

// NotChecked says why a gauge's values do not count in a batch that takes checked gauges only.
func NotChecked(o *book.Batch, g qc.Gauge, at time.Time) (Question, bool) {
	if !o.Body.CheckedOnly {
		return Question{}, false
	}
	st := g.Calibration(at)
	if st == qc.CheckInDate {
		return Question{}, false
	}
	return Question{Why: words.NotChecked{Gauge: g.Name, State: st}, Ask: words.CheckGauge{}}, true
}
