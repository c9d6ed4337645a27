package session

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// withDerived adds what takes longer to a view of the same point.
func withDerived(v View, is *derived) View {
	v.Drift, v.Jig, v.Pairs = driftView(is.drift()), jigView(is.jig()), pairsView(is.pairs())
	if v.Current != nil {
		now := *v.Current
		now.Shape = shapeView(is.shape())
		v.Current = &now
	}
	if v.Pairs == nil {
		return v
	}
	partner := map[string]string{}
	for _, p := range v.Pairs.Pairs {
		partner[p.A], partner[p.B] = p.B, p.A
	}
	for _, id := range v.Pairs.Spares {
		partner[id] = "spare"
	}
	v.Ribs = slices.Clone(v.Ribs)
	for i := range v.Ribs {
		v.Ribs[i].Pair = partner[v.Ribs[i].Rib]
	}
	return v
}

func (b *Bench) view() View {
	s := b.state
	v := View{
		Bench: s.bench, Epoch: s.epoch, Seq: s.seq, Software: s.software, Saved: true,
		Held: []HeldView{}, Gauges: b.gaugeViews(), Ribs: []RibView{}, Notices: []string{},
	}
	if err := b.writable(); err != nil && err != ErrReadOnly {
		v.Saved, v.Fault = false, err.Error()
	}
	for _, n := range slices.Backward(s.notices) {
		v.Notices = append(v.Notices, n)
	}
	o := s.batch
	if o == nil {
		return v
	}
	v.Ribs = make([]RibView, 0, len(o.ribs))
	counts := map[string]int{}
	for _, w := range qc.Words() {
		counts[string(w)] = 0
	}
	for _, r := range o.ribs {
		counts[string(s.judge(o, r).Word)]++
		v.Ribs = append(v.Ribs, r.view)
	}
	v.Batch = s.batchView(o, counts)
	for _, h := range o.held {
		if !h.settled {
			v.Held = append(v.Held, s.heldView(o, h))
		}
	}
	if o.current != nil {
		v.Current = b.currentView(o, o.current)
	}
	v.Last = s.lastView(o)
	v.Study, v.Offer = s.studyView(o), s.studyOffer(o)
	return v
}

func (s *state) batchView(o *batch, counts map[string]int) *BatchView {
	bv := &BatchView{
		ID: o.body.ID, Title: o.body.Title, Rule: ruleText(o.decision), Planned: o.body.Planned, Counts: counts,
		Target: fmt.Sprintf("%s, revision %d", o.target.Name, o.target.Revision),
		Bar:    strings.TrimSpace(o.target.Bar.Diameter.String() + " mm " + o.target.Bar.Grade),
		Closed: !o.closed.IsZero(), Lots: []string{}, Lot: o.lot, Jig: o.jig, Temperature: s.temperatureView(o),
	}
	for _, l := range s.lots {
		bv.Lots = append(bv.Lots, l.ID)
	}
	return bv
}

func (s *state) heldView(o *batch, h *heldValue) HeldView {
	hv := HeldView{
		Seq: h.seq, Rib: h.Rib, Char: h.Char, Gauge: s.gaugeName(h.Gauge), Value: shown(h.ReadingBody),
		Reason: h.Reason, Ask: h.Ask, Repeat: h.Repeat, Study: h.Study,
	}
	if c, ok := o.target.Characteristic(qc.CharID(h.Char)); ok {
		hv.Label = c.Label()
	}
	if h.Suggest != 0 {
		hv.Suggest = mmText(nm(h.Suggest))
	}
	return hv
}

func (b *Bench) gaugeViews() []GaugeView {
	list := make([]GaugeView, 0, len(b.state.gauges))
	for _, g := range b.state.gauges {
		l := b.live[g.ID]
		gv := GaugeView{Address: g.address, Kind: kindText(g.Gauge), Overdue: g.Calibration(b.state.at) != qc.CheckInDate, ID: g.ID, Name: g.Name, State: l.state, Detail: l.detail, LastText: l.last, Unsure: l.unsure, Check: b.checkText(g.Gauge), Measures: []string{}}
		if gv.State == "" {
			gv.State = "typed"
			if g.address != "" {
				gv.State = "connecting"
			}
		}
		if st := b.state.openStudy(); st != nil && st.Gauge == g.ID && !st.Paused {
			gv.LastText = "" // blind: nobody sees what was read before
		} else if l.last != "" && !l.lastAt.IsZero() {
			gv.LastText += " at " + l.lastAt.Format("15:04") // a gauge may be silent for long: that is no fault
		}
		if l.low && gv.Detail == "" {
			gv.Detail = "its battery is low"
		}
		for _, k := range g.Measures {
			gv.Measures = append(gv.Measures, string(k))
		}
		list = append(list, gv)
	}
	return list
}

// checkText is the state of a gauge's check as of the last record.
func (b *Bench) checkText(g qc.Gauge) string {
	const day = "2 January 2006"
	switch state := g.Calibration(b.state.at); {
	case state == qc.CheckInDate && !g.Due.IsZero():
		return "in date until " + g.Due.Format(day)
	case state == qc.CheckInDate:
		return "checked " + g.Checked.Format(day)
	case state == qc.CheckFailed:
		return "check FAILED on " + g.Checked.Format(day) + ": " + g.CheckNote
	case state == qc.OutOfUse:
		return "out of use: " + g.Retired
	case state == qc.CheckDue:
		return "check overdue since " + g.Due.Format(day)
	default:
		return string(state)
	}
}

func (b *Bench) currentView(o *batch, r *rib) *CurrentView {
	s := b.state
	verdict := s.judge(o, r)
	cv := &CurrentView{
		Rib: r.ID, Number: r.Order, Lot: r.Lot, Round: r.Round, Version: r.version,
		Verdict: string(verdict.Word), Reason: verdict.Reason, Steps: s.stepViews(o, r),
	}
	if r.BarLength != 0 {
		cv.Bar = fmt.Sprintf("bar %s mm: legs %s mm each", r.BarLength, fixed(o.targetOf(r).Leg, tenthMM))
	}
	next, open := r.Next(o.targetOf(r))
	if open {
		cv.Next = s.nextView(r, next)
	}
	for i, c := range o.target.Round {
		cv.Steps[i].IsNow = open && next.ID == c.ID
	}
	cv.Action = b.action(o, r, verdict, cv.Next)
	return cv
}

func (s *state) nextView(r *rib, c qc.Characteristic) *NextView {
	nv := &NextView{
		Char: string(c.ID), Label: c.Label(), Face: string(c.Face), Limit: limits(c), Signed: c.Kind.Signed(),
		Want: mmText(c.Nominal), Unit: "mm", Reading: len(r.Counted(c.ID)) + 1, Of: c.Repeats,
	}
	if g, ok := s.nextGauge(c); ok {
		nv.Gauge, nv.GaugeID, nv.Want = g.Name, g.ID, in(c.Nominal, g.Gauge)
		if p, err := qc.NewProof(c, g.Gauge, s.batch.decision, nil); err == nil {
			nv.Proof = p.Zone()
		}
	}
	if g, ok := s.boundTo(c); ok {
		nv.Unit = g.Unit
	}
	switch {
	case nv.Reading > 1:
		nv.Hint = "lift the rib, lay it again, read again"
	case c.Kind == qc.StationOffset:
		nv.Hint = "from the target curve: plus is proud, minus is shy"
	case c.Kind == qc.TipToTip, c.Kind == qc.CrownHeight:
		nv.Hint = "measure on the " + string(c.Face) + " of the bar"
	}
	return nv
}

// nextGauge is the gauge expected for a characteristic: one that sends before one that is typed.
func (s *state) nextGauge(c qc.Characteristic) (gauge, bool) {
	for _, g := range s.gauges {
		if g.address != "" && g.Covers(c.Kind) {
			return g, true
		}
	}
	return s.boundTo(c)
}

// stepViews are the steps of a rib of which none is the one to measure yet.
func (s *state) stepViews(o *batch, r *rib) []StepView {
	if r.steps == nil {
		for _, c := range o.target.Round {
			j, _ := r.verdict.Of(c.ID)
			r.steps = append(r.steps, s.stepView(r, c, j))
		}
	}
	return slices.Clone(r.steps)
}

func (s *state) stepView(r *rib, c qc.Characteristic, j qc.Judgement) StepView {
	sv := StepView{Char: string(c.ID), Label: c.Label(), Short: short(c), Seqs: []Step{}, Odd: odd(r, c)}
	for _, m := range r.Counted(c.ID) {
		g, _ := s.gauge(m.Gauge)
		sv.Seqs = append(sv.Seqs, Step{Seq: m.Seq, Value: in(m.Value, g), Gauge: s.gaugeName(m.Gauge), Typed: m.Entry == qc.Typed})
		sv.Value = in(m.Value, g)
	}
	switch {
	case j.Measured:
		g, _ := s.gauge(j.Dev.Gauge)
		sv.Lane, sv.Sign, sv.Dev, sv.Value = string(j.Lane), sign(j.Dev.Dev), tenth(j.Dev.Dev)+" mm", in(j.Dev.Value, g)
		sv.To20 = to20Text(j.Dev.Temp, j.Dev.To20)
	case j.Skipped:
		sv.Lane = "skipped"
	}
	return sv
}

// lastView is the last measurement taken, while it counts, judged alone.
func (s *state) lastView(o *batch) *LastView {
	r := s.last.rib
	if r == nil {
		return nil
	}
	m := r.measurement(s.last.seq)
	if m == nil || !m.Counts() {
		return nil
	}
	c, _ := o.targetOf(r).Characteristic(m.Char)
	g, ok := s.gauge(m.Gauge)
	if !ok {
		return nil
	}
	dev := m.At20() - c.Nominal
	j := qc.JudgeOne(c, qc.Deviation{Char: c.ID, Value: m.At20(), Dev: dev, Readings: 1, HalfBand: c.Band, Gauge: g.ID, To20: m.To20, Temp: m.Temp}, g, o.decision)
	rd := ReadingBody{Gauge: m.Gauge, Entry: string(m.Entry), Text: m.Text, Unit: m.Unit, ValueNM: int64(m.Value)}
	doubt := qc.Guard(float64(j.U), o.decision.Confidence, math.Inf(1))
	return &LastView{
		Seq: m.Seq, Rib: r.ID, Char: string(m.Char), Label: c.Label(), Value: shown(rd), Read: readBack(rd),
		Dev: tenth(dev) + " mm", Lane: string(j.Lane), Sign: sign(dev), To20: to20Text(m.Temp, m.To20), Limit: limits(c), Typed: m.Entry == qc.Typed,
		Doubt: "+-" + fixed(doubt, min(stepOf(g), 100*length.Micrometre)) + " mm at " + percent(o.decision.Confidence),
	}
}

// action is what to do with the current rib.
func (b *Bench) action(o *batch, r *rib, v qc.Verdict, next *NextView) string {
	if !o.closed.IsZero() {
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
		c, _ := o.target.Characteristic(v.Worst)
		return fmt.Sprintf("Lift the rib, lay it again and measure %s again, with a finer gauge if there is one.", c.Label())
	case qc.Reject:
		return fmt.Sprintf("Put rib %s aside: it cannot be bent in.", r.ID)
	}
	if b.cfg.Advice != nil {
		if text := b.cfg.Advice(b.state.qcBatch(o), r.Rib, v); text != "" {
			return text
		}
	}
	return rebendText(o, v)
}

// rebendText says which way and how far the rib is out, and leaves how to bend it to the advice.
func rebendText(o *batch, v qc.Verdict) string {
	if j, ok := v.Of(qc.Tip); ok && j.Measured && v.Direction != qc.Reshape {
		by := j.Dev.Dev
		if by < 0 {
			by = -by
		}
		verb := "close"
		if v.Direction == qc.OpenUp {
			verb = "open"
		}
		return fmt.Sprintf("RE-BEND: %s the tips by about %s mm, then measure a fresh round.", verb, fixed(by, 100*length.Micrometre))
	}
	var out []string
	for _, j := range v.Chars {
		if j.Lane == qc.LaneOut {
			out = append(out, j.Char.Label()+" "+tenth(j.Dev.Dev)+" mm")
		}
	}
	return "RE-BEND: the tips fit, the curve does not: " + strings.Join(out, ", ") + "; then measure a fresh round."
}

// ribView is the rib's line of the batch table; its pair is filled in where the pairs are known.
func ribView(o *batch, r *rib) RibView {
	v := r.verdict
	rv := RibView{
		Rib: r.ID, Number: r.Order, Lot: r.Lot, Round: r.Round, Verdict: string(v.Word), Reason: v.Reason,
		Version: r.version, Cells: make([]CellView, 0, len(o.target.Round)),
	}
	for _, c := range o.target.Round {
		cell := CellView{Char: string(c.ID), LimitUM: int64(max(c.Upper, -c.Lower) / length.Micrometre)}
		if j, ok := v.Of(c.ID); ok && j.Measured {
			cell.Dev, cell.Lane, cell.DevUM = tenth(j.Dev.Dev), string(j.Lane), int64(j.Dev.Dev/length.Micrometre)
			if c.ID == v.Worst {
				rv.Worst = c.Label() + " " + tenth(j.Dev.Dev) + " mm"
			}
		} else if ok && j.Skipped {
			cell.Lane = "skipped"
		}
		rv.Cells = append(rv.Cells, cell)
	}
	return rv
}

// sortedLots are the lots that the batch's ribs came from and the one set for the next rib.
func (s *state) lotsOf(o *batch) []qc.Lot {
	used := map[string]bool{o.lot: true, o.body.Lot: true}
	for _, r := range o.ribs {
		used[r.Lot] = true
	}
	var list []qc.Lot
	for _, l := range s.lots {
		if used[l.ID] {
			list = append(list, l)
		}
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].ID < list[j].ID })
	return list
}

// jigsOf are the jig set-ups that the batch used, in the order set.
func (s *state) jigsOf(o *batch) []qc.Jig {
	used := map[string]bool{o.jig: true, o.body.Jig: true}
	for _, r := range o.ribs {
		used[r.Jig] = true
	}
	var list []qc.Jig
	for _, j := range s.jigs {
		if used[j.ID] {
			list = append(list, j)
		}
	}
	return list
}
