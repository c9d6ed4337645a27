package web

import (
	"fmt"

	"springline/session/show"
)

// The states below are invented: ribs of a boardwalk shelter that does not exist.

var roundOf = []struct{ char, label, short string }{
	{"tip", "tip-to-tip", "tip"}, {"crown", "crown height", "crown"},
	{"A1", "station A1", "A1"}, {"A2", "station A2", "A2"}, {"A3", "station A3", "A3"},
	{"B3", "station B3", "B3"}, {"B2", "station B2", "B2"}, {"B1", "station B1", "B1"},
}

// devs are deviations in tenths of a millimetre for each place of the round; limits are 6 mm at the
// tips, 5 mm at the crown and 3 mm at the stations.
func ribOf(n int, verdict string, devs ...int) show.RibView {
	r := show.RibView{Rib: fmt.Sprintf("%02d", n), Number: n, Lot: "L" + fmt.Sprint(1+(n-1)/9), Round: 1, Verdict: verdict,
		Version: int64(40 + 9*n)}
	r.Reason = map[string]string{"PASS": "all 8 characteristics are within their limits", "OPEN": "still to measure"}[verdict]
	for i, p := range roundOf {
		c := show.CellView{Char: p.char, LimitUM: 3000}
		if i < 2 {
			c.LimitUM = int64(6000 - 1000*i)
		}
		if i < len(devs) {
			c.DevUM = int64(devs[i]) * 100
			c.Dev = fmt.Sprintf("%+.1f", float64(devs[i])/10)
			c.Lane = laneOf(c.DevUM, c.LimitUM)
		}
		r.Cells = append(r.Cells, c)
	}
	return r
}

func laneOf(dev, limit int64) string {
	switch d := max(dev, -dev); {
	case d > limit+600:
		return "out"
	case d > limit-600:
		return "unsure"
	}
	return "in"
}

// current makes the rib in r the one on the bench.
func current(r show.RibView) *show.CurrentView {
	c := &show.CurrentView{Rib: r.Rib, Number: r.Number, Lot: r.Lot, Round: r.Round, Version: r.Version, Verdict: r.Verdict, Reason: r.Reason}
	for i, p := range roundOf {
		s := show.StepView{Char: p.char, Label: p.label, Short: p.short, Seqs: []show.Step{}}
		cell := r.Cells[i]
		if cell.Dev != "" {
			want := []float64{3341.5, 1288}
			value := float64(cell.DevUM) / 1000
			if i < len(want) {
				value += want[i]
			}
			s.Lane, s.Dev, s.Value = cell.Lane, cell.Dev, fmt.Sprintf("%.1f mm", value)
			if cell.DevUM > 0 {
				s.Sign = "proud"
			} else if cell.DevUM < 0 {
				s.Sign = "shy"
			}
			s.Seqs = []show.Step{{Seq: r.Version - 8 + int64(i), Value: s.Value, Gauge: "long tape", Typed: i == 1}}
		} else if c.Next == nil {
			s.IsNow = true
			c.Next = next(i)
		}
		c.Steps = append(c.Steps, s)
	}
	return c
}

func next(i int) *show.NextView {
	p := roundOf[i]
	n := &show.NextView{Char: p.char, Label: p.label, Unit: "mm", Reading: 1, Of: 1, Gauge: "station caliper", GaugeID: "c1",
		Want: "0.0 mm", Limit: "-3.0 to +3.0 mm", Signed: true, Hint: "Set the foot on the paint mark and press send."}
	switch i {
	case 0:
		n.Face, n.Want, n.Limit, n.Gauge, n.GaugeID, n.Signed, n.Of = "centre", "3341.5 mm", "-6.0 to +6.0 mm", "long tape", "t1", false, 2
		n.Hint = "Lay the rib flat and let it come to rest."
	case 1:
		n.Face, n.Want, n.Limit, n.Gauge, n.GaugeID, n.Signed = "outside", "1288.0 mm", "-5.0 to +5.0 mm", "steel rule", "r1", false
		n.Hint = "From the tip line to the top of the arch."
	}
	return n
}

func batchOf(counts map[string]int) *show.BatchView {
	return &show.BatchView{ID: "reed-shelter", Title: "Reed pond shelter, 24 ribs", Target: "shelter rib, revision 2", Bar: "12 mm B500B",
		Rule: "proven at 95 %", Planned: 24, Counts: counts, Lots: []string{"L1", "L2", "L3"}, Lot: "L1", Jig: "jig 3"}
}

func gaugesOf() []show.GaugeView {
	return []show.GaugeView{
		{ID: "t1", Name: "long tape", State: "typed", Measures: []string{"tip-to-tip"}, Check: "in date until 2027-03-01"},
		{ID: "r1", Name: "steel rule", State: "typed", Measures: []string{"crown height"}, Check: "never checked"},
		{ID: "c1", Name: "station caliper", State: "reading",
			Detail: "like adapters that only their sockets tell apart may have been exchanged", Measures: []string{"station offset"},
			Check: "in date until 2027-01-15", LastText: "+1.8 mm at 14:02",
			Unsure: true},
		{ID: "c2", Name: "spare caliper", State: "unplugged", Detail: "plug it in again", Measures: []string{"station offset"},
			Check: "check overdue"},
	}
}

func base(seq int64) show.View {
	return show.View{Bench: "bench-1", Epoch: 1, Seq: seq, Software: "springline test", Saved: true,
		Held: []show.HeldView{}, Gauges: gaugesOf(), Ribs: []show.RibView{}, Notices: []string{}}
}

func lastOf(c *show.CurrentView, i int, limit string) *show.LastView {
	s := c.Steps[i]
	return &show.LastView{Seq: s.Seqs[0].Seq, Rib: c.Rib, Char: s.Char, Label: s.Label, Value: s.Value, Read: s.Value, Dev: s.Dev + " mm",
		Lane: s.Lane, Sign: s.Sign, Limit: limit, Doubt: "±0.8 mm at 95 %", Typed: i == 1}
}

// state is one view that the page must show well.
type state struct {
	name string
	view show.View
	want string // text that must be seen in the panel
}

func states() []state {
	ribs := []show.RibView{
		ribOf(1, "PASS", 12, -8, 4, -11, 2, 6, -3, 9), ribOf(2, "RE-BEND", 94, -52, 21, 38, 12, -4, 41, 18),
		ribOf(3, "PASS", -21, 13, -6, 2, 8, -9, 4, 1), ribOf(4, "RE-MEASURE", 8, 2, 28, -3, 1, 2, -1, 4),
		ribOf(5, "REJECT", 2, 2, 1, 1, 1, 1, 1, 1), ribOf(6, "PASS", 31, -12, 11, 4, -7, 2, 8, -2),
	}
	ribs[1].Worst, ribs[1].Reason = "tip-to-tip +9.4 mm", "tip-to-tip is +9.4, 3.4 mm over its upper limit"
	ribs[1].Round, ribs[5].Pair, ribs[0].Pair, ribs[2].Pair = 2, "01", "06", "spare"
	counts := map[string]int{"PASS": 3, "RE-BEND": 1, "RE-MEASURE": 1, "REJECT": 1, "OPEN": 1}
	full := func(seq int64, cur show.RibView, last int, limit string) show.View {
		v := base(seq)
		v.Batch, v.Ribs = batchOf(counts), append(append([]show.RibView{}, ribs...), cur)
		v.Current = current(cur)
		if last >= 0 {
			v.Last = lastOf(v.Current, last, limit)
		}
		v.Notices = []string{"spare caliper: half a frame was refused (checksum)", "rib 02: crown gap 4.1 mm, measure the crown again"}
		return v
	}
	none := base(1)
	none.Gauges = none.Gauges[:0]
	empty := base(12)
	empty.Batch = batchOf(nil)
	started := base(13)
	started.Batch = batchOf(map[string]int{"OPEN": 1})
	started.Ribs = []show.RibView{ribOf(1, "OPEN")}
	started.Current = current(started.Ribs[0])
	in := full(120, ribOf(7, "OPEN", 12, -8, 4), 2, "-3.0 to +3.0 mm")
	out := full(121, ribOf(7, "OPEN", 12, -8, 4, 48), 3, "-3.0 to +3.0 mm")
	unsure := full(122, ribOf(7, "OPEN", -58), 0, "-6.0 to +6.0 mm")
	verdict := func(seq int64, r show.RibView, reason, action string) show.View {
		r.Reason = reason
		v := full(seq, r, 7, "-3.0 to +3.0 mm")
		v.Current.Action = action
		return v
	}
	pass := verdict(130, ribOf(7, "PASS", 12, -8, 4, -11, 2, 6, -3, 9), "all 8 characteristics are within their limits",
		"Lay it on the stack and start rib 08.")
	rebend := verdict(131, ribOf(7, "RE-BEND", 94, -52, 21, 38, 12, -4, 41, 18), "tip-to-tip is +9.4, 3.4 mm over its upper limit",
		"Close it: bring the tips to 3298 mm under load and let go, then measure again.")
	remeasure := verdict(132, ribOf(7, "RE-MEASURE", 8, 2, 28, -3, 1, 2, -1, 4),
		"station A1 is +2.8: too near the limit to prove either way with ±0.8 mm", "Measure station A1 again.")
	reject := verdict(133, ribOf(7, "REJECT", 2, 2, 1, 1, 1, 1, 1, 1), "leg A is -12.0, 7.0 mm under its lower limit and cannot be bent in",
		"Put it aside and mark it.")
	held := full(140, ribOf(7, "OPEN", 12), 0, "-6.0 to +6.0 mm")
	held.Held = []show.HeldView{{Seq: 140, Rib: "07", Char: "crown", Label: "crown height", Gauge: "steel rule", Value: "50.7 mm",
		Reason: "50.7 mm is 25.4 times too small for a crown height of 1288 mm", Ask: "Was the gauge set to inches?", Suggest: "1287.8 mm"}}
	fault := full(141, ribOf(7, "OPEN", 12, -8), 1, "-5.0 to +5.0 mm")
	fault.Saved, fault.Fault = false, "The disk is full: record 142 could not be written. Free some space, then start the program again."
	pairs := full(150, ribOf(7, "PASS", 12, -8, 4, -11, 2, 6, -3, 9), 7, "-3.0 to +3.0 mm")
	pairs.Pairs = &show.PairsView{State: "provisional", Note: "18 ribs are still to be bent", Sum: "sum of mismatches 1.8 mm",
		Proof: "proven least (bound 1.8 mm)", CanFix: true, Token: "p-77",
		Pairs: []show.PairView{
			{A: "01", B: "06", How: "as they lie", Mismatch: "0.6 mm", Largest: "largest: tip-to-tip 1.9 mm"},
			{A: "03", B: "07", Flip: true, How: "turn 07 end for end", Mismatch: "1.2 mm", Largest: "largest: tip-to-tip 3.3 mm"}},
		Spares: []string{"08"}, Left: []show.LeftView{{Rib: "02", Reason: "RE-BEND"}, {Rib: "04", Reason: "RE-MEASURE"},
			{Rib: "05", Reason: "REJECT"}}}
	return []state{
		{"none", none, "NO BATCH"}, {"empty", empty, "READY"}, {"next", started, "MEASURE"}, {"in", in, "IN"}, {"out", out, "OUT"},
		{"unsure", unsure, "UNSURE"},
		{"pass", pass, "PASS"}, {"rebend", rebend, "RE-BEND"}, {"remeasure", remeasure, "RE-MEASURE"}, {"reject", reject, "REJECT"},
		{"held", held, "CHECK"}, {"fault", fault, "NOT SAVED"}, {"pairs", pairs, "PASS"},
	}
}
