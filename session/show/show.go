package show

import (
	"fmt"
	"slices"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
)

// ShowInput is what a view is made from.
type ShowInput struct {
	State *book.Book // nobody may change it meanwhile
	Is    *derive.Set
	Kept  *LastShown
	Live  map[string]Live
	Fault string // why nothing can be recorded, empty while it can
}

// renderer makes the parts of a view of one point of the record.
type renderer struct {
	book *book.Book
	kept *LastShown
	o    *book.Batch // on the bench, nil without one
	live map[string]Live
}

// NewView shows the bench but for what takes longer than a reading may wait: [withDerived] adds that.
func NewView(in ShowInput) View {
	s := in.State
	w := renderer{s, in.Kept, s.Batch, in.Live}
	v := View{
		Bench: s.Bench, Epoch: s.Epoch, Seq: s.Seq, Software: s.Software, Saved: in.Fault == "", Fault: in.Fault,
		Held: []HeldView{}, Gauges: w.gauges(), Ribs: []RibView{}, Notices: []string{}, Told: []NoticeView{},
	}
	for _, n := range slices.Backward(s.Notices) {
		v.Notices = append(v.Notices, words.English.Say(n.Said))
		v.Told = append(v.Told, NoticeView{Seq: n.Seq, Gauge: n.Gauge, Code: string(n.Said.Code())})
	}
	o := w.o
	if o == nil {
		return v
	}
	v.Ribs = make([]RibView, 0, len(o.Ribs))
	counts := map[string]int{}
	for _, word := range qc.Words() {
		counts[string(word)] = 0
	}
	for i, r := range o.Ribs {
		l := w.line(r, in.Is.Ribs[i])
		counts[l.view.Verdict]++
		v.Ribs = append(v.Ribs, l.view)
	}
	v.Batch = w.batch(counts)
	for _, h := range o.Held {
		if !h.Settled {
			v.Held = append(v.Held, w.held(h))
		}
	}
	if o.Current != nil {
		v.Current = w.current(o.Current, w.kept.lines[o.Current.ID])
	}
	v.Last = w.last()
	v.Study, v.Offer = w.study(), w.studyOffer()
	return v
}

func (w renderer) batch(counts map[string]int) *BatchView {
	o := w.o
	bv := &BatchView{
		ID: o.Body.ID, Title: o.Body.Title, Rule: ruleText(o.Decision), Planned: o.Body.Planned, Counts: counts,
		Target: fmt.Sprintf("%s, revision %d", o.Target.Name, o.Target.Revision),
		Bar:    strings.TrimSpace(o.Target.Bar.Diameter.String() + " mm " + o.Target.Bar.Grade),
		Closed: !o.Closed.IsZero(), Lots: []string{}, Lot: o.Lot, Jig: o.Jig, Temperature: w.temperature(),
	}
	for _, l := range w.book.Lots {
		bv.Lots = append(bv.Lots, l.ID)
	}
	return bv
}

func (w renderer) held(h *book.Held) HeldView {
	hv := HeldView{
		Seq: h.Seq, Rib: h.Rib, Char: h.Char, Gauge: w.book.GaugeName(h.Gauge), Value: h.Received(),
		Reason: words.English.Say(h.WhyHeld()), Ask: words.English.Say(h.ToDecide()), Repeat: h.Repeat, Study: h.Study,
	}
	if c, ok := w.o.Target.Characteristic(qc.CharID(h.Char)); ok {
		hv.Label = c.Label()
	}
	if h.Suggest != 0 {
		hv.Suggest = words.MM(length.Length(h.Suggest))
	}
	return hv
}

// WithDerived adds what takes longer to a view of the same point.
func WithDerived(v View, is *derive.Set) View {
	v.Drift, v.Jig, v.Pairs = shownDrift(is.Drift()), shownJig(is.Jig()), shownPairs(is.Pairs())
	if v.Current != nil {
		now := *v.Current
		now.Shape = ShownShape(is.Shape())
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
