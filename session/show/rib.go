package show

import (
	"fmt"
	"math"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
	"springline/session/log"
)

func (w renderer) current(r *book.Rib, l *ribLine) *CurrentView {
	o, verdict := w.o, l.of.Verdict
	cv := &CurrentView{
		Rib: r.ID, Number: r.Order, Lot: r.Lot, Round: r.Round, Version: r.Version,
		Verdict: string(verdict.Word), Reason: words.English.Say(verdict.Why), Steps: w.steps(r, l),
	}
	if r.BarLength != 0 {
		cv.Bar = fmt.Sprintf("bar %s mm: legs %s mm each", r.BarLength, words.Fixed(o.TargetOf(r).Leg, TenthMM))
	}
	next, open := r.Next(o.TargetOf(r))
	if open {
		cv.Next = w.next(r, next)
	}
	for i, c := range o.Target.Round {
		cv.Steps[i].IsNow = open && next.ID == c.ID
	}
	cv.Action = w.action(r, verdict, cv.Next)
	return cv
}

func (w renderer) next(r *book.Rib, c qc.Characteristic) *NextView {
	nv := &NextView{
		Char: string(c.ID), Label: c.Label(), Face: string(c.Face), Limit: words.Limits(c.Lower, c.Upper), Signed: c.Kind.Signed(),
		Want: words.MM(c.Nominal), Unit: "mm", Reading: len(r.Counted(c.ID)) + 1, Of: c.Repeats,
	}
	if g, ok := w.gaugeFor(c); ok {
		nv.Gauge, nv.GaugeID, nv.Want = g.Name, g.ID, in(c.Nominal, g.Gauge)
		if p, err := qc.NewProof(c, g.Gauge, w.o.Decision, nil); err == nil {
			nv.Proof = p.Zone()
		}
	}
	if g, ok := w.book.BoundTo(c); ok {
		nv.Unit = g.Unit
	}
	switch {
	case nv.Reading > 1:
		nv.Hint = "lift the rib, lay it again, read again"
	case c.Kind == qc.StationOffset:
		nv.Hint = "from the target curve: plus is outside, minus is inside"
	case c.Kind == qc.TipToTip, c.Kind == qc.CrownHeight:
		nv.Hint = "measure on the " + string(c.Face) + " of the bar"
	}
	return nv
}

// gaugeFor is the gauge expected for a characteristic: one that sends before one that is typed.
func (w renderer) gaugeFor(c qc.Characteristic) (book.Gauge, bool) {
	for _, g := range w.book.Gauges {
		if g.Address != "" && g.Covers(c.Kind) {
			return g, true
		}
	}
	return w.book.BoundTo(c)
}

func (w renderer) step(r *book.Rib, c qc.Characteristic, j qc.Judgement) StepView {
	gauge := w.book.GaugeIn(w.o)
	sv := StepView{Char: string(c.ID), Label: c.Label(), Short: short(c), Seqs: []Step{}, Odd: ShownOdd(r, c)}
	for _, m := range r.Counted(c.ID) {
		g, _ := gauge(m.Gauge)
		sv.Seqs = append(sv.Seqs, Step{Seq: m.Seq, Value: in(m.Value, g), Gauge: book.NameOf(g, m.Gauge), Typed: m.Entry == qc.Typed})
		sv.Value = in(m.Value, g)
	}
	switch {
	case j.Measured:
		g, _ := gauge(j.Dev.Gauge)
		sv.Lane, sv.Sign, sv.Dev, sv.Value = string(j.Lane), sign(j.Dev.Dev), words.Tenth(j.Dev.Dev)+" mm", in(j.Dev.Value, g)
		sv.To20 = to20Text(j.Dev.Temp, j.Dev.To20)
	case j.Skipped:
		sv.Lane = "skipped"
	}
	return sv
}

// ShownOdd points out a reading that stands out, nil where none does.
func ShownOdd(r *book.Rib, c qc.Characteristic) *OddView {
	o, found := derive.Odd(r, c)
	if !found {
		return nil
	}
	return &OddView{Seq: o.Seq, Text: fmt.Sprintf("Reading %d of %s, %s, is odd beside the others: it lies %.2f standard deviations off, "+
		"%.2f is the most that chance makes (Grubbs, 5 %%). Void it with the cause, or leave it.",
		o.Index+1, c.Label(), words.MM(o.Value), o.G, o.Critical)}
}

// last is the last measurement taken, while it counts, judged alone.
func (w renderer) last() *LastView {
	r := w.book.Last.Rib
	if r == nil {
		return nil
	}
	m := r.Measurement(w.book.Last.Seq)
	if m == nil || !m.Counts() {
		return nil
	}
	c, _ := w.o.TargetOf(r).Characteristic(m.Char)
	g, ok := w.book.Gauge(m.Gauge)
	if !ok {
		return nil
	}
	dev := m.At20() - c.Nominal
	alone := qc.Deviation{Char: c.ID, Value: m.At20(), Dev: dev, Readings: 1, HalfBand: c.Band, Gauge: g.ID, To20: m.To20, Temp: m.Temp}
	j := qc.JudgeOne(c, alone, g, w.o.Decision)
	rd := log.ReadingBody{Gauge: m.Gauge, Entry: string(m.Entry), Text: m.Text, Unit: m.Unit, ValueNM: int64(m.Value)}
	doubt := qc.Guard(float64(j.U), w.o.Decision.Confidence, math.Inf(1))
	return &LastView{
		Seq: m.Seq, Rib: r.ID, Char: string(m.Char), Label: c.Label(), Value: rd.Received(), Read: rd.ReadBack(),
		Dev: words.Tenth(dev) + " mm", Lane: string(j.Lane), Sign: sign(dev), To20: to20Text(m.Temp, m.To20),
		Limit: words.Limits(c.Lower, c.Upper), Typed: m.Entry == qc.Typed,
		Doubt: "±" + words.Fixed(doubt, min(stepOf(g), 100*length.Micrometre)) + " mm at " + words.Percent(w.o.Decision.Confidence),
	}
}

// shownRib is the rib's line of the batch table; its pair is filled in where the pairs are known.
func shownRib(o *book.Batch, r *book.Rib, v qc.Verdict) RibView {
	rv := RibView{
		Rib: r.ID, Number: r.Order, Lot: r.Lot, Round: r.Round, Verdict: string(v.Word), Reason: words.English.Say(v.Why),
		Version: r.Version, Cells: make([]CellView, 0, len(o.Target.Round)),
	}
	for _, c := range o.Target.Round {
		cell := CellView{Char: string(c.ID), LimitUM: int64(max(c.Upper, -c.Lower) / length.Micrometre)}
		if j, ok := v.Of(c.ID); ok && j.Measured {
			cell.Dev, cell.Lane, cell.DevUM = words.Tenth(j.Dev.Dev), string(j.Lane), int64(j.Dev.Dev/length.Micrometre)
			if c.ID == v.Worst {
				rv.Worst = c.Label() + " " + words.Tenth(j.Dev.Dev) + " mm"
			}
		} else if ok && j.Skipped {
			cell.Lane = "skipped"
		}
		rv.Cells = append(rv.Cells, cell)
	}
	return rv
}
