package session

import (
	"fmt"
	"slices"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// showInput is what a view is made from.
type showInput struct {
	state *state // nobody may change it meanwhile
	is    *derived
	kept  *lastShown
	live  map[string]liveGauge
	fault string // why nothing can be recorded, empty while it can
}

// renderer makes the parts of a view of one point of the record.
type renderer struct {
	book *state
	kept *lastShown
	o    *batch // on the bench, nil without one
	live map[string]liveGauge
}

// newView shows the bench but for what takes longer than a reading may wait: [withDerived] adds that.
func newView(in showInput) View {
	s := in.state
	w := renderer{s, in.kept, s.batch, in.live}
	v := View{
		Bench: s.bench, Epoch: s.epoch, Seq: s.seq, Software: s.software, Saved: in.fault == "", Fault: in.fault,
		Held: []HeldView{}, Gauges: w.gauges(), Ribs: []RibView{}, Notices: []string{}, Told: []NoticeView{},
	}
	for _, n := range slices.Backward(s.notices) {
		v.Notices = append(v.Notices, words.English.Say(n.said))
		v.Told = append(v.Told, NoticeView{Seq: n.seq, Gauge: n.gauge, Code: string(n.said.Code())})
	}
	o := w.o
	if o == nil {
		return v
	}
	v.Ribs = make([]RibView, 0, len(o.ribs))
	counts := map[string]int{}
	for _, word := range qc.Words() {
		counts[string(word)] = 0
	}
	for i, r := range o.ribs {
		l := w.line(r, in.is.ribs[i])
		counts[l.view.Verdict]++
		v.Ribs = append(v.Ribs, l.view)
	}
	v.Batch = w.batch(counts)
	for _, h := range o.held {
		if !h.settled {
			v.Held = append(v.Held, w.held(h))
		}
	}
	if o.current != nil {
		v.Current = w.current(o.current, w.kept.lines[o.current.ID])
	}
	v.Last = w.last()
	v.Study, v.Offer = w.study(), w.studyOffer()
	return v
}

func (w renderer) batch(counts map[string]int) *BatchView {
	o := w.o
	bv := &BatchView{
		ID: o.body.ID, Title: o.body.Title, Rule: ruleText(o.decision), Planned: o.body.Planned, Counts: counts,
		Target: fmt.Sprintf("%s, revision %d", o.target.Name, o.target.Revision),
		Bar:    strings.TrimSpace(o.target.Bar.Diameter.String() + " mm " + o.target.Bar.Grade),
		Closed: !o.closed.IsZero(), Lots: []string{}, Lot: o.lot, Jig: o.jig, Temperature: w.temperature(),
	}
	for _, l := range w.book.lots {
		bv.Lots = append(bv.Lots, l.ID)
	}
	return bv
}

func (w renderer) held(h *heldValue) HeldView {
	hv := HeldView{
		Seq: h.seq, Rib: h.Rib, Char: h.Char, Gauge: w.book.gaugeName(h.Gauge), Value: h.received(),
		Reason: words.English.Say(h.whyHeld()), Ask: words.English.Say(h.toDecide()), Repeat: h.Repeat, Study: h.Study,
	}
	if c, ok := w.o.target.Characteristic(qc.CharID(h.Char)); ok {
		hv.Label = c.Label()
	}
	if h.Suggest != 0 {
		hv.Suggest = words.MM(length.Length(h.Suggest))
	}
	return hv
}

// withDerived adds what takes longer to a view of the same point.
func withDerived(v View, is *derived) View {
	v.Drift, v.Jig, v.Pairs = shownDrift(is.drift()), shownJig(is.jig()), shownPairs(is.pairs())
	if v.Current != nil {
		now := *v.Current
		now.Shape = shownShape(is.shape())
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
