package session

import (
	"time"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// moveWindow is how fast nobody gets a gauge from one place to the next and sends again (common practice, no source).
const moveWindow = 2 * time.Second

// question is why a value does not count by itself, and what a person has to decide.
type question struct {
	why     words.Finding
	ask     words.Finding
	suggest length.Length
	repeat  bool // it does not agree with the other readings of its round: counts only with a written cause
}

// doubt looks for the blunders that a value bound to ch may be. Order matters: the most telling
// explanation is asked about.
func (s *state) doubt(o *batch, r *rib, ch qc.Characteristic, rd ReadingBody, at time.Time) (question, bool) {
	v := length.Length(rd.ValueNM)
	if q, ok := s.sentTwice(r, ch, rd, at, 0); ok {
		return q, true
	}
	if q, ok := implausible(o, r, ch, v); ok {
		return q, true
	}
	return s.disagree(o, r, ch, rd)
}

// implausible looks for the blunders that show in the value itself.
func implausible(o *batch, r *rib, ch qc.Characteristic, v length.Length) (question, bool) {
	if v < 0 && !ch.Kind.Signed() || v == 0 && ch.Nominal > 0 {
		return question{why: words.ValueCannotBe{Char: words.Char(ch.ID), Value: v}, ask: words.MeasureAgain{}}, true
	}
	if far(ch, v) {
		if slip, ok := length.SlipOf(v, ch.Nominal); ok {
			return question{why: words.UnitSlip{Value: v, Wanted: ch.Nominal, Factor: slip.Factor},
				ask: words.MeantInstead{Meant: slip.Meant}, suggest: slip.Meant}, true
		}
		return question{why: words.ValueFar{Char: words.Char(ch.ID), Value: v, Wanted: ch.Nominal}, ask: words.TakeOrAgain{}}, true
	}
	if q, ok := impossiblePair(o.targetOf(r), r, ch, v); ok {
		return q, true
	}
	return question{}, false
}

// sentTwice tells a second send of one value from an equal second part: only the time does.
func (s *state) sentTwice(r *rib, ch qc.Characteristic, rd ReadingBody, at time.Time, step int) (question, bool) {
	last, ok := s.sent[rd.Gauge]
	if !ok || qc.Entry(rd.Entry) != qc.Sent || last.text != rd.Text || last.unit != rd.Unit {
		return question{}, false
	}
	passed := at.Sub(last.at)
	if passed < 0 {
		passed = -passed
	}
	switch {
	case passed <= wire.DupWindow:
		return question{why: words.SentTwice{WithinMS: wire.DupWindow.Milliseconds()}, ask: words.BouncedOrSecond{}}, true
	case passed <= moveWindow && (last.char != ch.ID || last.rib != r.ID || last.step != step):
		return question{why: words.SentAgain{Char: words.Char(ch.ID)}, ask: words.WasMoved{Char: words.Char(ch.ID)}}, true
	}
	return question{}, false
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

// impossiblePair checks tip-to-tip and crown height against each other: the bar runs from tip to crown
// to tip, so its length is at least the two straight lines; and while neither leg leans outward, at
// most across and up. The faces measured may add a diameter to each.
func impossiblePair(t qc.Target, r *rib, ch qc.Characteristic, v length.Length) (question, bool) {
	tip, crown := v, v
	var other qc.CharID
	switch ch.Kind {
	case qc.TipToTip:
		other = qc.Crown
	case qc.CrownHeight:
		other = qc.Tip
	default:
		return question{}, false
	}
	oc, ok := t.Characteristic(other)
	if !ok {
		return question{}, false
	}
	d, ok := r.Deviation(oc)
	if !ok {
		return question{}, false
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
		return question{}, false
	}
	return question{why: words.PairImpossible{Tip: tip, Crown: crown, Bar: t.BarLength()}, ask: words.OneIsWrong{}}, true
}

// notChecked says why a gauge's values do not count in a batch that takes checked gauges only.
func notChecked(o *batch, g qc.Gauge, at time.Time) (question, bool) {
	if !o.body.CheckedOnly {
		return question{}, false
	}
	st := g.Calibration(at)
	if st == qc.CheckInDate {
		return question{}, false
	}
	return question{why: words.NotChecked{Gauge: g.Name, State: string(st)}, ask: words.CheckGauge{}}, true
}
